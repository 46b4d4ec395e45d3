"""One screen from a call to option A."""

from datetime import date
from decimal import Decimal

import pytest
from django.test import Client as Browser

from studio.clients.models import Client, Space
from studio.commissions.enquiry.starting import first_design
from studio.commissions.models import Commission
from studio.lattice.design import Space as SpaceDocument
from studio.lattice.fit import best_fit
from studio.pricing.example_rates import example_rate_book
from tests.commissions.conftest import start


def test_said_on_the_phone(signed_in: Browser) -> None:
    option = start(signed_in, **{"space.widths_mm.0": "about 1.2 m", "space.heights_mm.0": "0.75 m"})
    commission = option.commission
    assert (commission.client, commission.title) == (None, "An empty stretch of wall")
    document = commission.space.document
    assert (document["width_origin"], document["height_origin"]) == ("said", "taped by the client")
    assert [document[name] for name in ("indoors", "public_room", "near_heat", "above_people")] == [None] * 4
    assert commission.space.typed["widths_mm.0"] == "about 1.2 m"
    assert option.gross_minor > option.net_minor > 0
    assert option.ready_on > date.today()
    assert [change.sequence for change in option.changes.all()] == [1]


def test_a_new_name_becomes_a_client(signed_in: Browser) -> None:
    option = start(signed_in, new_client="Marram <b>Railway</b> 🚂", where="ticket hall")
    assert option.commission.client.name == "Marram <b>Railway</b> 🚂"
    page = signed_in.get(f"/commissions/{option.commission.public_id}/options/A/").content.decode()
    assert "Marram &lt;b&gt;Railway&lt;/b&gt; 🚂: ticket hall" in page


def test_a_known_business_gives_its_terms(signed_in: Browser) -> None:
    hall = Client.objects.create(name="Hall", kind="business", tax="zero", distance_km="12.5")
    terms = start(signed_in, client=hall.public_id).commission.terms
    assert (terms["client_kind"], terms["tax"], Decimal(terms["distance_km"])) == (
        "business",
        "zero",
        Decimal("12.5"),
    )


def test_in_a_space_that_is_there_already(signed_in: Browser) -> None:
    first = start(signed_in, new_client="Marram")
    space = first.commission.space
    assert b"For <strong>" in signed_in.get("/commissions/new/", {"space": space.public_id}).content
    signed_in.post("/commissions/new/", {"space": space.public_id})
    second = Commission.objects.latest("pk")
    assert (second.space, second.client) == (space, first.commission.client)
    assert Space.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("space.widths_mm.0", ""),
        ("space.widths_mm.0", "0"),
        ("space.widths_mm.0", "-5"),
        ("space.widths_mm.0", "0.1 mm"),
        ("space.widths_mm.0", "10 km"),
        ("space.widths_mm.0", "abc"),
        ("space.heights_mm.0", "1 m 3 in"),
        ("new_client", "x" * 2000),
        ("where", "x" * 2000),
        ("client", "nobody"),
        ("space", "nowhere"),
    ],
)
def test_bad_input_starts_nothing_and_stays_typed(signed_in: Browser, field: str, text: str) -> None:
    typed = {
        "space.widths_mm.0": "1 m",
        "space.heights_mm.0": "1 m",
        "where": "hall",
        "client": "",
        "new_client": "",
    }
    answer = signed_in.post("/commissions/new/", typed | {field: text})
    assert answer.status_code in (404, 422) if field == "space" else answer.status_code == 422
    assert not Commission.objects.exists()
    assert not Client.objects.exists()
    if field != "space":
        assert 'id="problems"' in answer.content.decode()
        assert f'value="{text}"' in answer.content.decode()


def test_a_space_too_small_for_a_cell_starts_without_a_price(signed_in: Browser) -> None:
    option = start(signed_in, **{"space.widths_mm.0": "60", "space.heights_mm.0": "60"})
    assert option.gross_minor is None
    page = signed_in.get(f"/commissions/{option.commission.public_id}/options/A/").content.decode()
    assert "There is no price" in page
    assert "No price yet" in page


@pytest.mark.parametrize(
    ("width", "height"), [("600", "500"), ("1194", "750"), ("3000", "2400"), ("300", "1800")]
)
def test_the_first_design_can_be_seen(width: str, height: str) -> None:
    space = SpaceDocument(widths_mm=(Decimal(width),), heights_mm=(Decimal(height),))
    fit = best_fit(first_design(space, example_rate_book()), space)
    assert 8 <= fit.columns <= 60
    assert fit.rows >= 8


def test_strangers_start_nothing(client: Browser, db: None) -> None:
    answer = client.post("/commissions/new/", {"space.widths_mm.0": "1 m", "space.heights_mm.0": "1 m"})
    assert answer["Location"].startswith("/sign-in/")
    assert not Commission.objects.exists()
