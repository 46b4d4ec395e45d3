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
        "space.about": "off",
        "space.mounting": "wall",
        "space.indoors": "on",
        "space.public_room": "on",
        "space.near_heat": "off",
        "space.above_people": "off",
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
    assert (space.measured, space.public_room, space.near_heat) == (True, True, False)
    row = Space.objects.get()
    assert row.typed["heights_mm.0"] == "2' 6\""
    page = signed_in.get(f"/clients/spaces/{row.public_id}/").content.decode()
    assert "1.194 m" in page
    assert "2&#x27; 6&quot;" in page


@pytest.mark.parametrize("changed", [{"space.widths_mm.0": "about 1.2 m"}, {"space.about": "on"}])
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
def test_measures_with_the_tick_for_said_are_asked_about(
    signed_in: Browser, address: str, changed: dict[str, str], question: str
) -> None:
    answer = signed_in.post(address, typed() | {"space.about": "on"} | changed)
    assert answer.status_code == 422
    assert f'id="f-space-about-p">{question}' in answer.content.decode()
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
        floor_to_bottom_mm=Decimal(1050),
    )
    form = Form({"space.widths_mm.0": "1 m", "space.about": "off"})
    space = read_space(form, before).space
    assert (space.widths_mm, space.heights_mm) == ((Decimal(1000),), (Decimal(800),))
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
    assert page.count('value="on" checked') == 3  # indoors, a public room, the desk
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
    assert page.count('value="on" checked') == 7
    assert not Space.objects.exists()
