"""Clients: found, opened, written down."""

from datetime import UTC, datetime

import pytest
from django.test import Client as Browser

from studio.clients.models import Client, Contact
from studio.commissions.models import Option
from tests.two_tabs import fields_of

MARKUP = "<b>Bold</b> & “Söhne” 🪵"


def details(**changed: str) -> dict[str, str]:
    return {
        "name": "Marram Light Railway",
        "kind": "business",
        "email": "hall@marram.example",
        "phone": "",
        "tax": "standard",
        "distance_km": "18.5",
        "address": "1 Platform Road",
        "notes": "",
        "contacts.0.name": "Ottoline",
        "contacts.0.role": "station keeper",
        "contacts.0.email": "",
        "contacts.0.phone": "",
        "contacts.1.name": "",
        "contacts.1.role": "",
        "contacts.1.email": "",
        "contacts.1.phone": "",
    } | changed


@pytest.fixture
def railway(db: None) -> Client:
    return Client.objects.create(name="Marram Light Railway", phone="01632 960 123")


def test_a_new_client_is_saved_with_contacts(signed_in: Browser) -> None:
    answer = signed_in.post("/clients/new/", details())
    client = Client.objects.get()
    assert answer["Location"] == f"/clients/{client.public_id}/"
    assert (client.name, client.kind, str(client.distance_km)) == ("Marram Light Railway", "business", "18.5")
    assert [contact.name for contact in client.contacts.all()] == ["Ottoline"]


def test_editing_changes_contacts(signed_in: Browser, railway: Client) -> None:
    Contact.objects.create(client=railway, name="Former keeper")
    address = f"/clients/{railway.public_id}/edit/"
    page = signed_in.get(address)
    assert b"Former keeper" in page.content
    signed_in.post(address, fields_of(page) | details(name="Marram Railway"))
    railway.refresh_from_db()
    assert railway.name == "Marram Railway"
    assert [contact.name for contact in railway.contacts.all()] == ["Ottoline"]


@pytest.mark.parametrize(("typed", "kept", "shown"), [("", None, "not given"), ("0", 0, "0 km one way")])
def test_who_lives_in_the_house_is_no_way_off(signed_in: Browser, typed, kept, shown) -> None:
    signed_in.post("/clients/new/", details(distance_km=typed))
    client = Client.objects.get()
    assert client.distance_km == kept
    page = signed_in.get(f"/clients/{client.public_id}/").content.decode()
    assert shown in page
    edit = signed_in.get(f"/clients/{client.public_id}/edit/").content.decode()
    assert f'name="distance_km" value="{typed}"' in " ".join(edit.replace('type="text" ', "").split())


@pytest.mark.parametrize(
    ("field", "text", "remedy"),
    [
        ("name", "", "at least 1 character"),
        ("name", "x" * 2000, "at most 200 characters"),
        ("distance_km", "near", "a number"),
        ("distance_km", "-1", "at least 0"),
        ("email", "nobody", "name@studio.example"),
        ("email", "a,b@c.example", "name@studio.example"),
        ("email", f"a@{'x' * 64}.example", "name@studio.example"),
        ("contacts.0.name", "", "at least 1 character"),
        ("kind", "charity", "consumer"),
    ],
)
def test_bad_details_stay_typed_with_a_problem_beside_them(
    signed_in: Browser, field: str, text: str, remedy: str
) -> None:
    answer = signed_in.post("/clients/new/", details(**{field: text}))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert remedy in page
    assert "1 Platform Road" in page
    assert text in page
    assert not Client.objects.exists()


@pytest.mark.parametrize("field", ["contacts", "contacts.0", "contacts.x", "contacts.0.0.0"])
def test_contacts_that_no_page_posts(signed_in: Browser, field: str) -> None:
    assert signed_in.post("/clients/new/", {"name": "Marram", field: "x"}).status_code == 422


def test_markup_and_emoji_show_as_text(signed_in: Browser) -> None:
    answer = signed_in.post("/clients/new/", details(name=MARKUP, notes="<script>"), follow=True)
    page = answer.content.decode()
    assert "&lt;b&gt;Bold&lt;/b&gt; &amp; “Söhne” 🪵" in page
    assert "<b>Bold" not in page
    assert "<script>" not in page


@pytest.mark.parametrize(
    ("wanted", "there"), [("marr", True), ("960 12", True), ("zebra", False), ("%", False)]
)
def test_search(signed_in: Browser, railway: Client, wanted: str, there: bool) -> None:
    page = signed_in.get("/clients/", {"q": wanted}, headers={"HX-Request": "true"}).content.decode()
    assert ("Marram Light Railway" in page) is there
    assert "<html" not in page


def test_detail_and_list(signed_in: Browser, railway: Client) -> None:
    assert b"Marram Light Railway" in signed_in.get("/clients/").content
    assert b"01632 960 123" in signed_in.get(f"/clients/{railway.public_id}/").content


def test_of_an_erased_client_only_that_is_shown(signed_in: Browser, railway: Client) -> None:
    erasing = f'href="/proposals/clients/{railway.public_id}/erase/"'
    assert erasing in signed_in.get(f"/clients/{railway.public_id}/").content.decode()
    railway.erased_at = datetime(2026, 3, 2, 12, tzinfo=UTC)
    railway.save()
    assert b"Marram" not in signed_in.get("/clients/").content
    page = signed_in.get(f"/clients/{railway.public_id}/").content.decode()
    assert "Erased on 2 March 2026" in page
    for gone in (erasing, "01632", "/edit/", "/spaces/new/", "/commissions/new/"):
        assert gone not in page
    for place in ("edit/", "spaces/new/"):
        assert signed_in.get(f"/clients/{railway.public_id}/{place}").status_code == 404


@pytest.mark.parametrize("address", ["", "new/", "{}/", "{}/edit/", "{}/spaces/new/"])
def test_strangers_are_sent_to_sign_in(client: Browser, railway: Client, address: str) -> None:
    answer = client.get("/clients/" + address.format(railway.public_id))
    assert answer.status_code == 302
    assert answer["Location"].startswith("/sign-in/")


def test_search_counts_each_commission_once(signed_in: Browser) -> None:
    start = {"space.widths_mm.0": "600", "space.heights_mm.0": "500", "where": "", "client": ""}
    signed_in.post("/commissions/new/", start | {"new_client": "Marram"})
    for name in ("Marram keeper", "Marram porter"):
        Contact.objects.create(client=Client.objects.get(), name=name)
    page = signed_in.get("/clients/", {"q": "marram"}).content.decode()
    assert page.count("1 commission<") == 1


@pytest.mark.parametrize(("kind", "words"), [("business", "without tax"), ("consumer", "with tax")])
def test_prices_are_those_that_this_client_reads_first(
    signed_in: Browser, railway: Client, kind: str, words: str
) -> None:
    Client.objects.update(kind=kind)
    start = {"space.widths_mm.0": "600", "space.heights_mm.0": "500", "where": "", "new_client": ""}
    signed_in.post("/commissions/new/", start | {"client": railway.public_id})
    option = Option.objects.get()
    minor = option.net_minor if kind == "business" else option.gross_minor
    page = signed_in.get(f"/clients/{railway.public_id}/").content.decode()
    assert f'</span> £{minor / 100:,.2f} <span class="small">{words}</span>' in page
