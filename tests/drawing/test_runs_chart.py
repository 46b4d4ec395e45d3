"""Printers over days: what is drawn where, by numbers that can be worked out by hand."""

import re
from dataclasses import replace
from datetime import date, datetime, timedelta
from xml.etree import ElementTree

import pytest

from studio.drawing.lettering import text_width
from studio.drawing.runs_chart import CAPITAL, WIDTH, runs_charts
from studio.making.calendar import Dates, PrinterRun
from studio.making.equipment import Printer
from studio.making.shop import OutOfService, ShopState

MONDAY = date(2026, 3, 2)
SMALL, LARGE = Printer(name="Small bed", count=2), Printer(name="Large <bed>")
SVG = "{http://www.w3.org/2000/svg}"


def run(
    plate: int | None, starts: tuple[int, ...], ends: tuple[int, ...], printer: Printer = SMALL, **kwargs
) -> PrinterRun:
    moments = (datetime(2026, 3, *moment) for moment in (starts, ends))
    return PrinterRun(printer.name, kwargs.pop("unit", 1), plate, *moments, **kwargs)


RUNS = (
    run(None, (2, 12), (2, 18)),
    run(0, (3, 0), (3, 12)),
    run(0, (3, 12), (4, 0), again=True),
    run(1, (8, 12), (9, 12), LARGE),
)
DATES = Dates(5, MONDAY, date(2026, 3, 9), date(2026, 3, 10), 7, date(2026, 3, 24), 90, RUNS)


def charts(dates: Dates = DATES, shop: ShopState | None = None) -> list[ElementTree.Element]:
    drawn = runs_charts(dates, shop or ShopState(), [SMALL, LARGE], ident="runs")
    return [ElementTree.fromstring(picture) for picture in drawn]


def boxes(picture: ElementTree.Element, look: str) -> list[tuple[float, float]]:
    """Left and right of what is drawn in one way."""
    data = "".join(path.get("d", "") for path in picture.iter(f"{SVG}path") if path.get("class") == look)
    return [(float(a), float(b)) for a, b in re.findall(r"M([\d.]+) [\d.]+H([\d.]+)", data)]


def told(picture: ElementTree.Element) -> str:
    return picture.findtext(f"{SVG}desc") or ""


def test_a_picture_for_each_week_with_something_in_it() -> None:
    found = charts()
    assert [picture.findtext(f"{SVG}title") for picture in found] == [
        f"Printers in the week from Mon, {day} Mar 2026" for day in (2, 9, 23)
    ]
    idents = [element.get("id") for picture in found for element in picture.iter() if element.get("id")]
    assert len(idents) == len(set(idents)) == 9
    for picture in found:
        assert picture.get("role") == "img"
        assert all(ident in idents for ident in picture.get("aria-labelledby", "").split())


def test_runs_lie_at_their_hours() -> None:
    # 44 to the day after 20: Monday noon to six, Tuesday morning, Tuesday afternoon.
    first, second, _ = charts()
    assert boxes(first, "promised") == [(42, 53)]
    assert boxes(first, "own") == [(64, 86), (306, 328)]  # Sunday noon until the week is over
    assert boxes(first, "again") == [(86, 108)]
    assert boxes(second, "own") == [(20, 42)]


def test_every_printer_has_a_row_below_the_one_before() -> None:
    day = ((2, 8), (2, 9))
    runs = (run(0, *day), run(1, *day, unit=2), run(2, *day, LARGE))
    (picture,) = (each for each in charts(replace(DATES, runs=runs)) if boxes(each, "own"))
    data = "".join(path.get("d", "") for path in picture.iter(f"{SVG}path") if path.get("class") == "own")
    tops = [float(top) for top in re.findall(r"M[\d.]+ ([\d.]+)H", data)]
    first, second, other_kind = tops
    assert other_kind - second > second - first > 0  # the name of the kind lies between


def test_only_promised_jobs_are_hatched() -> None:
    first = charts()[0]
    hatched = [path.get("class") for path in first.iter(f"{SVG}path") if "url(" in path.get("fill", "")]
    assert hatched == ["promised"]
    assert f"url(#{next(first.iter(f'{SVG}pattern')).get('id')})" in ElementTree.tostring(
        first, encoding="unicode"
    )


def test_both_dates_are_marked_at_closing() -> None:
    first, second, fourth = charts()
    marks = [
        [
            (path.get("d"), path.get("stroke-dasharray"))
            for path in week.iter(f"{SVG}path")
            if path.get("class") == "mark"
        ]
        for week in (first, second, fourth)
    ]
    # Tuesday 17:30: 20 + 44 + 44 x 17.5 / 24 = 96.1
    assert marks == [[], [("M96.1 40V146", None)], [("M96.1 40V146", "4 3")]]
    texts = [[text.text for text in week.iter(f"{SVG}text")][-1] for week in (second, fourth)]
    assert texts == ["expected 10 March", "9 of 10 by 24 March"]


@pytest.mark.parametrize("day", range(2, 9))
def test_what_is_said_about_dates_stays_in_the_picture(day: int) -> None:
    when = date(2026, 9, 28 + day - 2) if day < 5 else date(2026, 10, day - 4)
    everyday = ShopState(working_days=(1, 2, 3, 4, 5, 6, 7), attended_to_hour=24)
    (picture,) = charts(Dates(1, when, when, when, 1, when, 90), everyday)
    for text in list(picture.iter(f"{SVG}text"))[-2:]:
        x, width = float(text.get("x", "")), text_width(text.text or "", CAPITAL)
        left, right = (x - width, x) if text.get("text-anchor") == "end" else (x, x + width)
        assert 0 <= left < right <= WIDTH


def test_nights_and_closed_days_are_shaded() -> None:
    shop = ShopState(attended_from_hour=6, attended_to_hour=18, days_off=(date(2026, 3, 4),))
    first = charts(shop=shop)[0]
    shades = {
        path.get("fill-opacity"): [
            (float(a), float(b)) for a, b in re.findall(r"M([\d.]+) 60H([\d.]+)", path.get("d", ""))
        ]
        for path in first.iter(f"{SVG}path")
        if path.get("class") is None and path.get("fill") == "currentColor"
    }
    assert shades["0.16"] == [(108, 152), (240, 284), (284, 328)]  # Wednesday, Saturday, Sunday
    assert shades["0.07"][:3] == [(20, 31), (53, 64), (64, 75)]
    assert len(shades["0.07"]) == 8


def test_printers_out_of_service_are_shaded_on_working_days() -> None:
    """Of two small ones one from Thursday to Monday: 20 + 3 x 44 to 240; the second row begins at 76."""
    out = OutOfService(printer="Small bed", from_day=date(2026, 3, 5), to_day=MONDAY + timedelta(days=7))
    first, second = charts(shop=ShopState(out_of_service=(out,)))[:2]
    assert boxes(first, "out") == [(152, 196), (196, 240)]
    assert boxes(second, "out") == [(20, 64)]
    (drawn,) = (path.get("d") for path in first.iter(f"{SVG}path") if path.get("class") == "out")
    assert drawn is not None
    assert set(re.findall(r"M[\d.]+ ([\d.]+)H", drawn)) == {"76"}


def test_what_those_hear_who_do_not_see() -> None:
    first, second, fourth = charts()
    assert (
        told(first)
        == "Small bed 1: 2 plates and 1 promised run. Small bed 2: nothing. Large <bed> 1: 1 plate."
    )
    assert told(second).endswith("Large <bed> 1: 1 plate. Expected to be ready on Tue, 10 Mar 2026.")
    assert told(fourth).endswith("In 9 of 10 cases ready by Tue, 24 Mar 2026.")


def test_long_names_are_cut_to_the_line() -> None:
    long = Printer(name="W" * 80)
    dates = Dates(0, MONDAY, MONDAY, MONDAY, 0, MONDAY, 90)
    (drawn,) = runs_charts(dates, ShopState(), [long], ident="runs")
    name = next(text for text in re.findall(r">([^<]+)</text>", drawn) if text.startswith("WW"))
    assert name.endswith("W…")
    assert text_width(name, CAPITAL) < WIDTH


def test_colours_are_those_of_the_text() -> None:
    drawn = "".join(runs_charts(DATES, ShopState(), [SMALL, LARGE], ident="runs"))
    assert set(re.findall(r'(?:fill|stroke)="([^"]+)"', drawn)) - {"none", "currentColor"} == {
        f"url(#runs-2026030{day}-hatch)" for day in (2,)
    }
    assert "style" not in drawn
