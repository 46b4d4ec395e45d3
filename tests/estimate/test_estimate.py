"""The line as a whole: the example by hand, and what must hold for any brief."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.document import dump, parse
from studio.estimate.estimate import estimate
from studio.estimate.example import example_question
from studio.estimate.report import report
from studio.lattice.cut import cut
from studio.lattice.design import AllOver, Infill, Space
from studio.lattice.piece import piece_for
from studio.lattice.tolerance import Tolerances
from studio.pricing.rate_book import RateBook
from studio.problem import Refused
from tests.estimate.said import SAID, TAPED

QUESTION = example_question()


def run(brief, as_of=QUESTION.as_of, book=QUESTION.rate_book, shop=QUESTION.shop_state):
    return estimate(brief, book, shop, as_of)


@pytest.fixture(scope="module")
def example():
    return run(QUESTION.brief)


def with_space(**changes):
    return replace(QUESTION.brief, space=replace(QUESTION.brief.space, **changes))


def with_design(**changes):
    return replace(QUESTION.brief, design=replace(QUESTION.brief.design, **changes))


def test_the_smallest_width_less_the_gaps_counts(example):
    """design rule: widths 1200, 1197, 1194 with 5 mm gaps leave 1184; heights 752, 750 leave 740."""
    fit = example.bill.fit
    assert fit.width_mm + fit.left_over_mm[0] == pytest.approx(1184)
    assert fit.height_mm + fit.left_over_mm[1] == pytest.approx(740)
    assert min(fit.left_over_mm) >= 0


def test_counts_follow_the_closed_forms(example):
    """Three-way: n columns, k half sides: n(k-1) whole and 2n half cells, and panel area / cell area
    equivalent cells (plane geometry: the cell's area is s * s*sqrt(3)/2 / 2)."""
    fit = example.bill.fit
    n, k, side = fit.columns, fit.rows, fit.cell_side_mm
    assert example.bill.cells == (n * (k - 1), 2 * n, 0)
    equivalent = fit.lattice_width_mm * fit.lattice_height_mm / (side * side * sqrt(3) / 4)
    assert n * (k - 1) + 2 * n / 2 == pytest.approx(equivalent)


def test_every_cell_has_one_infill_and_one_section(example):
    whole, half, quarter = example.bill.cells
    assert (
        sum(part.count for part in example.bill.infills) + example.bill.open_cells == whole + half + quarter
    )
    assert sum(section.cells for section in example.bill.sections) == whole + half + quarter


def test_plates_carry_every_part_and_spare(example):
    made = [0] * len(example.bill.parts)
    for plate in example.plan.plates:
        for share in plate.parts:
            made[share.part] += share.count
    assert made == [part.count + part.spares for part in example.bill.parts]


def test_print_minutes_are_those_of_the_plates(example):
    assert example.plan.print_minutes == pytest.approx(
        sum(plate.minutes for plate in example.plan.plates), abs=0.05
    )


def test_the_price_adds_up(example):
    price = example.price
    assert (
        sum(line.amount for line in price.lines)
        == price.net
        == sum(line.amount for line in price.client_lines)
    )
    assert price.net + price.tax == price.gross == sum(part.gross for part in price.deposits)


def test_every_line_carries_its_working(example):
    for line in example.price.lines:
        assert line.working.formula
        assert line.working.inputs


def test_ready_on_a_working_day_after_the_start(example):
    dates = example.dates
    assert QUESTION.as_of < dates.starts_on <= dates.printed_on <= dates.ready_on
    assert dates.ready_on.isoweekday() in QUESTION.shop_state.working_days


@pytest.mark.parametrize("measured", [True, False])
def test_measuring_is_asked_for_until_it_is_done(measured):
    reasons = [warning.reason for warning in run(with_space(**TAPED if measured else SAID)).warnings]
    assert ("the space is not measured yet" in reasons) != measured


def test_stock_and_queue_change_dates_and_buying_but_never_the_price():
    empty = replace(QUESTION.shop_state, stock=(), curing_days=9)
    before, after = run(QUESTION.brief), run(QUESTION.brief, shop=empty)
    assert before.price == after.price
    assert after.dates.ready_on > before.dates.ready_on


def test_the_same_question_gives_the_same_digest_and_another_another():
    assert run(QUESTION.brief).digest == run(QUESTION.brief).digest
    assert run(QUESTION.brief, as_of=date(2026, 3, 3)).digest != run(QUESTION.brief).digest


def test_a_space_too_small_for_one_cell_is_refused():
    with pytest.raises(Refused) as refused:
        run(with_space(widths_mm=(Decimal(60),)))
    assert refused.value.problems[0].field.startswith("brief.")
    assert "mm" in refused.value.problems[0].reason


def test_cautions_follow_the_space():
    plain, public = run(with_space(public_room=False)), run(with_space(public_room=True))
    (said,) = set(public.cautions) - set(plain.cautions)
    assert said.startswith("Rooms open to the public may require a tested reaction-to-fire class")
    assert plain.cautions[-1] == "Nothing here replaces local codes or licensed practice."


def test_lit_without_a_diffuser_is_warned_of():
    found = run(with_design(lit=True, backing="none"))
    assert "brief.design.backing" in {warning.field for warning in found.warnings}


def test_infills_that_stand_out_are_said_in_millimetres():
    brief = with_design(infill_depth_mm=Decimal("18.50"), depth_mm=Decimal(12), backing="none")
    (warning,) = (w for w in run(brief).warnings if w.field == "brief.design.infill_depth_mm")
    assert "stand 6.5 mm out at the front" in warning.reason
    assert warning.remedy.endswith("at most 12 mm deep")


def test_without_an_edging_nobody_fits_one():
    codes = {line.code for line in run(with_design(edging_width_mm=Decimal(0))).price.lines}
    assert "labour.edging" not in codes
    assert "labour.pack" in codes


def test_hangers_carry_panel_and_backing(example):
    """Any two hangers carry all, times the safety factor (the studio's default 4; common practice, no
    source)."""
    assert example.bill.hangers >= 2 * len(example.bill.modules)


@pytest.mark.parametrize("pattern", ["seven-treasures", "square-hemp-leaf"])
def test_a_square_lattice_goes_the_same_way(pattern):
    infill = Infill(pattern=pattern, filament="Tea")
    found = run(with_design(lattice="square", arrangement=AllOver(infill=infill)))
    fit = found.bill.fit
    assert found.bill.cells == (fit.columns * fit.rows, 0, 0)


@settings(max_examples=25)
@given(
    width=st.integers(250, 2600),
    height=st.integers(250, 2600),
    side=st.integers(36, 90),
    lattice=st.sampled_from(["three-way", "three-way turned", "square", "diamond"]),
    measured=st.booleans(),
)
def test_any_panel_fits_adds_up_and_can_be_dated(width, height, side, lattice, measured):
    pattern = {"square": "well-crib", "diamond": "crossed-diamond"}.get(lattice, "hemp-leaf")
    book = replace(QUESTION.rate_book, hanger_load_g=60_000)  # two square metres pass 20 kg a module
    design = replace(
        QUESTION.brief.design,
        lattice=lattice,
        cell_side_mm=Decimal(side),
        arrangement=AllOver(infill=Infill(pattern=pattern, filament="Tea")),
    )
    space = Space(widths_mm=(Decimal(width),), heights_mm=(Decimal(height),), **TAPED if measured else SAID)
    found = run(replace(QUESTION.brief, design=design, space=space), book=book)
    assert found.bill.fit.width_mm <= width - 10
    assert found.bill.fit.height_mm <= height - 10
    assert sum(line.amount for line in found.price.lines) == found.price.net
    assert sum(part.gross for part in found.price.deposits) == found.price.gross
    assert found.dates.ready_on > QUESTION.as_of


@pytest.mark.parametrize("mounting", ["free-standing", "in a frame"])
def test_what_does_not_hang_needs_no_hangers(mounting):
    found = run(with_space(mounting=mounting))
    assert found.bill.hangers == 0
    assert not any(line.code == "bought.hanger" for line in found.price.lines)


def test_sections_for_small_beds_when_that_is_much_sooner():
    """One large printer and three small ones: all sections waiting for the large one would take days longer,
    which a day of 77, its overhead, makes too dear. A bed too small for any section changes nothing."""
    book = replace(QUESTION.rate_book, day_weight=None)
    large = [printer for printer in book.printers if printer.bed_width_mm == 350]
    small = [printer for printer in book.printers if printer.bed_width_mm == 256]
    many = replace(small[0], count=3)
    alone = run(QUESTION.brief, book=replace(book, printers=(*large,)))
    helped = run(QUESTION.brief, book=replace(book, printers=(many, *large)))
    assert len(helped.bill.sections) > len(alone.bill.sections)
    assert helped.dates.printed_on < alone.dates.printed_on
    tiny = replace(small[0], bed_width_mm=60, bed_depth_mm=60)
    assert len(run(QUESTION.brief, book=replace(book, printers=(tiny, *large))).bill.sections) == len(
        alone.bill.sections
    )


@pytest.mark.parametrize(("small", "sections"), [(1, 12), (2, 20)])
def test_more_seams_are_worth_a_third_of_the_time_and_not_a_fifth(small, sections):
    """Beside one large printer, smaller sections are printed in 0.79 of its time with one small printer, in
    0.57 with two; where a day weighs its overhead they are made from below 0.7."""
    counts = {256: small, 350: 1}
    printers = tuple(replace(each, count=counts[each.bed_width_mm]) for each in QUESTION.rate_book.printers)
    book = replace(QUESTION.rate_book, printers=printers, day_weight=None)
    assert len(run(QUESTION.brief, book=book).bill.sections) == sections


def test_feet_that_are_not_priced_are_said():
    found = run(with_space(mounting="free-standing"))
    assert "brief.space.mounting" in {warning.field for warning in found.warnings}
    assert not any(line.text.lower().startswith("feet") for line in found.price.lines)


@pytest.mark.parametrize(
    ("width", "gap", "said"),
    [
        ("1196", "1.9", True),  # 0.4 mm left over across, 6.5 mm up
        ("1193", "1.9", True),  # 1.3 and 10.2 mm
        ("1196.2", "2", False),  # the same left over, and gap enough
        ("1205", "1.9", False),  # gap too little, and 8.1 and 4.2 mm left over
    ],
)
def test_hardly_any_gap_is_said_where_nothing_is_left_over_either(width, gap, said):
    found = run(with_space(widths_mm=(Decimal(width),), heights_mm=(Decimal(752),), gap_mm=Decimal(gap)))
    reasons = [warning.reason for warning in found.warnings]
    assert ("hardly any gap is left for an uneven wall" in reasons) == said


def test_a_gap_that_does_not_cover_the_size_error_is_said(example):
    """Free on each side is the gap and half of what is left over; the gap that the warning asks for covers
    the error."""
    assert "brief.space.gap_mm" not in {warning.field for warning in example.warnings}
    tight = run(with_space(widths_mm=(Decimal(1194),), gap_mm=Decimal("0.5")))
    error, left_over = tight.size_error, tight.bill.fit.left_over_mm
    (said,) = (w for w in tight.warnings if w.field == "brief.space.gap_mm" and "come out" in w.reason)
    assert error.across_mm > 0.5 + left_over[0] / 2
    assert f"{error.across_mm:.1f} mm too wide, and {0.5 + left_over[0] / 2:.1f} mm" in said.reason
    gap = said.remedy.removeprefix("leave a gap of ").removesuffix(" mm on each side")
    assert float(gap) >= error.across_mm > float(gap) - 0.5
    covered = run(with_space(widths_mm=(Decimal(1194),), gap_mm=Decimal(gap)))
    assert not [w for w in covered.warnings if "come out" in w.reason]


def test_the_report_says_how_far_off_the_panel_may_be(example):
    across = report(example)["size_error"]["across"]
    assert across["total_mm"] == pytest.approx(across["systematic_mm"] + across["random_mm"], abs=0.011)
    assert across["workings"][-1].endswith(f"{example.size_error.across_mm:.2f} mm")


def test_rates_from_before_tolerances_were_known_still_read():
    document = dump(QUESTION.rate_book)
    del document["tolerances"]
    assert parse(RateBook, document).tolerances == Tolerances()


def test_colours_that_look_alike_are_told() -> None:
    question = example_question()
    near = tuple(
        replace(filament, colour="#b98b5b") if filament.name == "Indigo" else filament
        for filament in question.rate_book.filaments
    )
    book = replace(question.rate_book, filaments=near)
    told = [w.reason for w in estimate(question.brief, book, question.shop_state, question.as_of).warnings]
    assert (
        "Tea and Indigo can hardly be told apart" in told or "Indigo and Tea can hardly be told apart" in told
    )
    told = estimate(question.brief, question.rate_book, question.shop_state, question.as_of).warnings
    assert not any("told apart" in warning.reason for warning in told)


def test_a_changed_rate_prices_anew_without_new_geometry() -> None:
    question = example_question()
    first = run(question.brief)
    cuts, ways = cut.cache_info().misses, piece_for.cache_info().misses
    dearer = replace(question.rate_book, basis_percent=question.rate_book.basis_percent + 5)
    second = run(question.brief, book=dearer)
    assert second.price.net > first.price.net
    assert (cut.cache_info().misses, piece_for.cache_info().misses) == (cuts, ways)
    assert second.plan.plates == first.plan.plates
