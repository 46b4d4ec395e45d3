"""Fits side by side: shown to the studio only, taken as one change, refused where nothing may change."""

import re
from typing import Any

import pytest
from django.test import Client as Browser

from studio.commissions.models import Commission, Option
from studio.people.models import User
from studio.workshop.books import the_studio
from tests.commissions.conftest import Words, start, undo

pytestmark = pytest.mark.one_engine

CODE = re.compile(r'name="take" value="([^"]+)"')
TAKEN = ("lattice", "columns", "rows", "cell_side_mm")


@pytest.fixture
def fits(address: str) -> str:
    return f"{address}fits/"


def codes(page: str) -> list[str]:
    return CODE.findall(page)


def read(browser: Browser, fits: str, **asked: str) -> str:
    return browser.get(fits, asked).content.decode()


def test_four_lattices_and_the_nearest_panels(signed_in: Browser, fits: str) -> None:
    page = read(signed_in, fits)
    for part in ("Three-way</strong>", "Turned three-way</strong>", "Square</strong>", "Diamond</strong>"):
        assert part in page
    assert all(f">{counted}" in page for counted in ("columns × half sides", "half sides × rows", "boxes"))
    assert "square hemp leaf" in page
    assert page.count('<td role="cell" class="number price">£') == 5
    assert "priced, with tax" in page
    for part in ("As large as fits", "Narrower", "Lower", "Wider", "Higher", "more than there is"):
        assert part in page


def test_the_panel_as_it_is_now_is_marked_and_has_no_button(
    signed_in: Browser, option: Option, fits: str
) -> None:
    page = read(signed_in, fits)
    marked = re.findall(r'<tr role="row" aria-current="true">.*?</tr>', page, re.DOTALL)
    assert len(marked) == 2  # among the fits, and among the nearest panels
    assert all("as it is now" in row and "<button" not in row for row in marked)
    assert len(set(codes(page))) >= 30


def test_taking_one_is_one_change_that_can_be_undone(
    signed_in: Browser, option: Option, address: str, fits: str
) -> None:
    code = next(each for each in codes(read(signed_in, fits)) if each.startswith("square/"))
    answer = signed_in.post(fits, {"take": code, "revision": str(option.revision)})
    assert (answer.status_code, answer["Location"]) == (302, address)
    taken = Option.objects.get(pk=option.pk)
    assert taken.revision == option.revision + 1
    design = {name: str(taken.design[name]) for name in TAKEN}
    lattice, columns, rows, side = code.split("/")
    assert (design["lattice"], design["columns"], design["rows"]) == (lattice, columns, rows)
    assert float(design["cell_side_mm"]) == float(side)
    assert taken.design["arrangement"]["field"]["pattern"] == "square-hemp-leaf"
    assert (
        taken.design["arrangement"]["field"]["filament"] == option.design["arrangement"]["field"]["filament"]
    )
    assert taken.changes.count() == option.changes.count() == 2
    assert "as it is now" in read(signed_in, fits)
    undo(signed_in, address)
    assert Option.objects.get(pk=option.pk).design == option.design


def test_every_price_is_the_price_of_what_is_taken(
    signed_in: Browser, option: Option, address: str, fits: str
) -> None:
    page = read(signed_in, fits)
    priced = re.findall(r'number price">(£[\d.,]+)</td>\s*<td[^>]*><button[^>]*value="([^"]+)"', page)
    assert len(priced) >= 4  # one of the five may be the panel as it is
    for price, code in priced:
        revision = str(Option.objects.get(pk=option.pk).revision)
        assert signed_in.post(fits, {"take": code, "revision": revision}).status_code == 302
        assert f"; {price}." in read(signed_in, fits)  # "Option A now: …; £1,234.00."
        undo(signed_in, address)


def test_a_business_reads_prices_without_tax(
    signed_in: Browser, address: str, fits: str, words: Words
) -> None:
    signed_in.post(address, words(**{"terms.client_kind": "business"}))
    assert "priced, without tax" in read(signed_in, fits)


def test_a_nearest_panel_is_taken_with_the_same_cells(signed_in: Browser, option: Option, fits: str) -> None:
    page = read(signed_in, fits)
    near = page[page.index("Keep cells of") :]
    (now,) = re.findall(r'aria-current="true">.*?<td[^>]*>(\d+) × (\d+)</td>', near, re.DOTALL)
    narrower, lower = codes(near)
    assert narrower.split("/")[1:3] == [str(int(now[0]) - 1), now[1]]
    assert lower.split("/")[1:3] == [now[0], str(int(now[1]) - 1)]
    signed_in.post(fits, {"take": narrower, "revision": str(option.revision)})
    assert Option.objects.get(pk=option.pk).design["columns"] == int(now[0]) - 1


def test_another_range_of_sides(signed_in: Browser, fits: str) -> None:
    page = read(signed_in, fits, cell_side_mm="60 mm", side_play_percent="2")
    sides = {code.split("/")[3] for code in codes(page[: page.index("Keep cells of")])}
    assert sides == {"59.00", "59.50", "60.00", "60.50", "61.00"}
    assert 'value="60 mm"' in page


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"cell_side_mm": "abc"}, "Write a length"),
        ({"cell_side_mm": ""}, "Write a length"),
        ({"cell_side_mm": "5 mm"}, "at least 10 mm"),
        ({"cell_side_mm": "9 m"}, "at most 400 mm"),
        ({"cell_side_mm": "44 mm", "side_play_percent": "many"}, "a number"),
        ({"side_play_percent": "26"}, "at most 25"),
        ({"side_play_percent": "-1"}, "at least 0"),
        ({"side_play_percent": "nan"}, ""),
        ({"cell_side_mm": "x" * 3000}, "Write a length"),
    ],
)
def test_a_range_that_cannot_be_read_shows_the_own_one_and_says_why(
    signed_in: Browser, fits: str, asked: dict[str, str], says: str
) -> None:
    answer = signed_in.get(fits, asked)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert says in page
    assert codes(page)
    assert f'value="{next(iter(asked.values()))}"' in page  # what was typed stays typed


@pytest.mark.parametrize(
    "code",
    [
        "", "square", "square/3/3", "round/3/3/44", "square/x/3/44", "square/0/3/44", "square/3/3/1",
        "square/3/3/44/5/6", "square/3/3/nan", "square/99999/3/44", "three-way/3/3/44\x00", "/" * 5000,
    ],
)  # fmt: skip
def test_what_is_no_fit_is_refused(signed_in: Browser, option: Option, fits: str, code: str) -> None:
    answer = signed_in.post(fits, {"take": code, "revision": str(option.revision)})
    assert answer.status_code in (400, 422)
    assert Option.objects.get(pk=option.pk).revision == option.revision


def test_a_panel_larger_than_the_opening_is_refused_with_its_sizes(
    signed_in: Browser, option: Option, fits: str
) -> None:
    answer = signed_in.post(fits, {"take": "square/300/3/44.00", "revision": str(option.revision)})
    assert answer.status_code == 422
    assert "13200 mm" in answer.content.decode()
    assert Option.objects.get(pk=option.pk).design == option.design


@pytest.mark.parametrize("revision", ["", "0", "x", "9" * 30])
def test_a_page_that_is_no_longer_true_takes_nothing(
    signed_in: Browser, option: Option, fits: str, revision: str
) -> None:
    code = codes(read(signed_in, fits))[0]
    answer = signed_in.post(fits, {"take": code, "revision": revision})
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "Somebody else changed this option meanwhile" in page
    assert f'name="revision" value="{option.revision}"' in page
    assert Option.objects.get(pk=option.pk).design == option.design


def test_what_is_sold_does_not_change(signed_in: Browser, option: Option, fits: str) -> None:
    code = codes(read(signed_in, fits))[0]
    Commission.objects.filter(pk=option.commission_id).update(stage=Commission.Stage.APPROVED)
    answer = signed_in.post(fits, {"take": code, "revision": str(option.revision)})
    assert answer.status_code == 422
    assert Option.objects.get(pk=option.pk).design == option.design
    page = read(signed_in, fits)
    assert page.count(" disabled>") == page.count('name="take"') > 0


def test_an_opening_without_room_for_a_cell(signed_in: Browser) -> None:
    found = start(signed_in, **{"space.widths_mm.0": "60 mm", "space.heights_mm.0": "60 mm"})
    page = signed_in.get(f"/commissions/{found.commission.public_id}/options/A/fits/").content.decode()
    assert "does not fit as it is" in page
    assert "The smallest" in page
    assert "more than there is" in page


def test_inches(signed_in: Browser, fits: str) -> None:
    studio = the_studio()
    studio.units = studio.Units.IMPERIAL
    studio.save()
    page = read(signed_in, fits)
    assert "Cell side, inches" in page
    assert "1 3/4&quot;" in page


@pytest.mark.parametrize(
    ("stage", "said"),
    [
        ("approved", "What was sold changes only by a variation"),
        ("handed over", "This commission is handed over: nothing of it changes any more."),
        ("cancelled", "This commission is cancelled: nothing of it changes any more."),
    ],
)
def test_why_nothing_changes_is_said(
    signed_in: Browser, option: Option, address: str, fits: str, stage: str, said: str
) -> None:
    """What is handed over has no variation any more."""
    assert said not in read(signed_in, address) + read(signed_in, fits)
    Commission.objects.update(stage=stage)
    for page in (address, fits):
        shown = read(signed_in, page)
        assert said in shown
        assert ("by a variation" in shown) == (stage == "approved")


def test_strangers_see_nothing(client: Browser, signed_in: Browser, fits: str, maker: User) -> None:
    client.logout()
    for answer in (client.get(fits), client.post(fits, {"take": "square/3/3/44.00"})):
        assert answer["Location"].startswith("/sign-in/")
    client.force_login(maker)
    assert client.get(fits).status_code == 200
    assert client.get(fits.replace("/A/", "/D/")).status_code == 404
    assert client.get("/commissions/nobody/options/A/fits/").status_code == 404
    assert client.put(fits).status_code == 405


def test_few_queries(signed_in: Browser, fits: str, django_assert_max_num_queries: Any) -> None:
    signed_in.get(fits)
    with django_assert_max_num_queries(7):
        signed_in.get(fits)
