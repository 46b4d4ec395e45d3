"""Spaces: lengths as people say them."""

from decimal import Decimal

import pytest
from django.test import Client as Browser

from studio.clients.models import Client, Space
from studio.clients.space_form import read_space, space_form
from studio.forms import Form
from studio.lattice.design import Space as SpaceDocument
from studio.stored.kinds import SPACE
from studio.voice import PLAIN, Voice
from tests.two_tabs import fields_of


def typed(**changed: str) -> dict[str, str]:
    values = {
        "name": "ticket hall",
        "measured_by": "",
        "measured_on": "",
        "notes": "",
        "space.widths_mm.0": "1200",
        "space.widths_mm.1": "",
        "space.widths_mm.2": "1.194 m",
        "space.heights_mm.0": "2' 6\"",
        "space.heights_mm.1": "",
        "space.heights_mm.2": "",
        "space.gap_mm": "5 mm",
        "space.way_in.width_mm": "760",
        "space.way_in.length_mm": "1980",
        "space.floor_to_bottom_mm": "",
        "space.width_origin": "taped by us",
        "space.height_origin": "taped by the client",
        "space.mounting": "wall",
        "space.indoors": "on",
        "space.public_room": "on",
        "space.near_heat": "off",
        "space.above_people": "",
    }
    return values | {name.replace("__", "."): text for name, text in changed.items()}


@pytest.fixture
def address(db: None) -> str:
    return f"/clients/{Client.objects.create(name='Marram').public_id}/spaces/new/"


def saved() -> SpaceDocument:
    return SPACE.read(Space.objects.get().document)


def test_saved_as_typed_and_as_read(signed_in: Browser, address: str) -> None:
    assert signed_in.post(address, typed()).status_code == 302
    space = saved()
    assert space.widths_mm == (Decimal(1200), Decimal(1194))
    assert space.heights_mm == (Decimal(762),)
    assert (space.measured, space.width_origin) == (True, "taped by us")
    assert (space.indoors, space.public_room, space.near_heat, space.above_people) == (
        True,
        True,
        False,
        None,
    )
    row = Space.objects.get()
    assert row.typed["heights_mm.0"] == "2' 6\""
    page = signed_in.get(f"/clients/spaces/{row.public_id}/").content.decode()
    assert "1.194 m" in page
    assert "2&#x27; 6&quot;" in page


@pytest.mark.parametrize("changed", [{"space.widths_mm.0": "about 1.2 m"}, {"space.width_origin": "said"}])
def test_said_is_not_measured(signed_in: Browser, address: str, changed: dict[str, str]) -> None:
    signed_in.post(address, typed() | {"space.widths_mm.2": ""} | changed)
    assert saved().measured is False


@pytest.mark.parametrize(
    ("changed", "question"),
    [
        ({}, "Two widths are typed: are they measured?"),
        ({"space.widths_mm.1": "1.2 m"}, "Three widths are typed: are they measured?"),
        ({"space.widths_mm.2": "", "measured_on": "2026-03-02"}, "A date of measuring is typed"),
        ({"space.widths_mm.2": "", "measured_by": "Tam"}, "A name of measuring is typed"),
    ],
)
def test_measures_of_a_side_that_is_said_are_asked_about(
    signed_in: Browser, address: str, changed: dict[str, str], question: str
) -> None:
    answer = signed_in.post(
        address, typed() | {"space.width_origin": "said", "space.height_origin": "said"} | changed
    )
    assert answer.status_code == 422
    assert f'id="f-space-width-origin-p">{question}' in answer.content.decode()
    assert not Space.objects.exists()


def test_a_list_shows_the_size_that_counts(signed_in: Browser, address: str) -> None:
    signed_in.post(address, typed())
    page = signed_in.get(address.removesuffix("spaces/new/")).content.decode()
    assert "1194 mm wide, 762 mm high, measured" in page


@pytest.mark.parametrize(
    "text", ["0", "-5", "0.1 mm", "10 km", "abc", "1 m 3 in", "1,200", "<b>", "🪵", "x" * 2000]
)
def test_what_is_no_size_stays_typed(signed_in: Browser, address: str, text: str) -> None:
    answer = signed_in.post(address, typed() | {"space.heights_mm.0": text})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'id="f-space-heights-mm-0" name="space.heights_mm.0" type="text" value="' in page
    assert 'aria-invalid="true"' in page
    assert "<b>" not in page
    assert not Space.objects.exists()


def test_decimal_commas_are_read(signed_in: Browser, address: str) -> None:
    signed_in.post(address, typed() | {"space.heights_mm.0": "1,2 m"})
    assert saved().heights_mm == (Decimal(1200),)


def test_bounds_are_said_in_what_was_typed_where_it_was_typed(signed_in: Browser, address: str) -> None:
    page = signed_in.post(address, typed() | {"space.widths_mm.2": "2,1 cm"}).content.decode()
    assert 'id="f-space-widths-mm-2-p">“2,1 cm” is 21 mm. Give at least 50 mm.' in page


def test_everything_wrong_is_said_at_once(signed_in: Browser, address: str) -> None:
    changed = {"name": "", "space.widths_mm.0": "", "space.widths_mm.2": "", "space.gap_mm": ""}
    page = signed_in.post(address, typed() | changed).content.decode()
    assert "3 things keep this from being saved" in page
    assert "No width is given." in page
    assert "No gap is given." in page


def test_a_form_of_a_space_reads_back_as_that_space(signed_in: Browser, address: str) -> None:
    signed_in.post(address, typed())
    row = Space.objects.get()
    for voice in (PLAIN, Voice(units="imperial")):
        assert read_space(space_form(row, voice)).space == saved()


def test_what_is_not_on_the_page_stays() -> None:
    before = SpaceDocument(
        widths_mm=(Decimal(900),),
        heights_mm=(Decimal(800),),
        near_heat=True,
        height_origin="taped by us",
        floor_to_bottom_mm=Decimal(1050),
    )
    form = Form({"space.widths_mm.0": "1 m", "space.width_origin": "paced"})
    space = read_space(form, before).space
    assert (space.widths_mm, space.heights_mm) == ((Decimal(1000),), (Decimal(800),))
    assert (space.width_origin, space.height_origin) == ("paced", "taped by us")
    assert (space.near_heat, space.floor_to_bottom_mm) == (True, Decimal(1050))


def test_a_space_that_is_measured_anew_reprices_its_options(signed_in: Browser) -> None:
    start = {
        "space.widths_mm.0": "about 1.2 m",
        "space.heights_mm.0": "0.75 m",
        "where": "",
        "client": "",
        "new_client": "Marram",
    }
    signed_in.post("/commissions/new/", start)
    row = Space.objects.get()
    option = row.commissions.get().options.get()
    place = f"/clients/spaces/{row.public_id}/"
    signed_in.post(place, fields_of(signed_in.get(place)) | typed() | {"space.widths_mm.2": "600"})
    changed = row.commissions.get().options.get()
    assert changed.gross_minor < option.gross_minor
    assert changed.revision == option.revision + 1


def test_what_stands_there(signed_in: Browser, address: str) -> None:
    desk, door = {"space.stands.desk": "on"}, {"space.stands.door": "on", "space.stands.desk": "off"}
    signed_in.post(address, typed() | desk)
    assert saved().stands_near == ("desk",)
    row = Space.objects.get()
    page = signed_in.get(f"/clients/spaces/{row.public_id}/").content.decode()
    assert page.count('value="on" checked') == 1
    place = f"/clients/spaces/{row.public_id}/"
    signed_in.post(place, fields_of(signed_in.get(place)) | door)
    assert saved().stands_near == ("door",)
    assert read_space(Form(typed()), saved()).space.stands_near == ("door",)  # not asked there


def test_five_things_are_too_many(signed_in: Browser, address: str) -> None:
    five = {f"space.stands.{thing}": "on" for thing in ("desk", "bench", "bed", "door", "sofa")}
    answer = signed_in.post(address, typed() | five)
    assert answer.status_code == 422
    page = answer.content.decode()
    told = "5 things are ticked, more than a drawing has room for. Tick at most 4."
    assert f'id="f-space-stands-desk-p">{told}</span>' in page
    assert page.count('value="on" checked') == 5
    assert not Space.objects.exists()


def test_corners_plumb_and_what_a_photograph_is_worth(signed_in: Browser, address: str) -> None:
    corners = {
        "space.diagonals_mm.0": "1.42 m", "space.diagonals_mm.1": "1415", "space.out_of_plumb_mm": "0",
        "space.width_origin": "photograph", "space.photograph_mm": "25",
    }  # fmt: skip
    signed_in.post(address, typed() | corners)
    space = saved()
    assert space.diagonals_mm == (Decimal(1420), Decimal(1415))
    assert (space.out_of_plumb_mm, space.photograph_mm) == (Decimal(0), Decimal(25))
    row = Space.objects.get()
    assert read_space(space_form(row, PLAIN)).space == space
    place = f"/clients/spaces/{row.public_id}/"
    none = {"space.diagonals_mm.0": "", "space.diagonals_mm.1": "", "space.out_of_plumb_mm": ""}
    signed_in.post(place, fields_of(signed_in.get(place)) | none)
    assert (saved().diagonals_mm, saved().out_of_plumb_mm) == ((), None)


@pytest.mark.parametrize("other", [0, 1])
def test_one_diagonal_is_asked_about(signed_in: Browser, address: str, other: int) -> None:
    answer = signed_in.post(address, typed() | {f"space.diagonals_mm.{1 - other}": "1420"})
    told = f'id="f-space-diagonals-mm-{other}-p">One diagonal says nothing of a corner.'
    assert answer.status_code == 422
    assert told in answer.content.decode()
    assert not Space.objects.exists()


@pytest.mark.parametrize("name", ["indoors", "public_room", "near_heat", "above_people"])
def test_each_answer_is_yes_no_or_not_known_yet(signed_in: Browser, address: str, name: str) -> None:
    answers = {"on": True, "off": False, "": None}
    signed_in.post(address, typed())
    place = f"/clients/spaces/{Space.objects.get().public_id}/"
    for text, answer in answers.items():
        signed_in.post(place, fields_of(signed_in.get(place)) | {f"space.{name}": text})
        assert getattr(saved(), name) is answer
        assert fields_of(signed_in.get(place))[f"space.{name}"] == text


def test_a_new_space_says_nothing_that_nobody_asked(signed_in: Browser, address: str) -> None:
    fields = fields_of(signed_in.get(address))
    assert [fields[f"space.{name}"] for name in ("indoors", "public_room", "near_heat", "above_people")] == [
        ""
    ] * 4


def test_a_choice_that_is_not_offered_is_refused(signed_in: Browser, address: str) -> None:
    answer = signed_in.post(
        address, typed() | {"space.near_heat": "perhaps", "space.width_origin": "guessed"}
    )
    assert answer.status_code == 422
    assert not Space.objects.exists()
