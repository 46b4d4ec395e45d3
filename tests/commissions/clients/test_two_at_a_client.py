"""Two people at one client, each on a page of their own."""

import pytest
from django.test import Client as Browser
from django.utils import timezone

from studio.clients.models import Client, Contact
from tests.two_tabs import fields_of


@pytest.fixture
def railway(db: None) -> Client:
    client = Client.objects.create(name="Marram Light Railway", tax="standard")
    Contact.objects.create(client=client, name="Ottoline", role="station keeper")
    Contact.objects.create(client=client, name="Bo", role="porter")
    return client


@pytest.fixture
def place(railway: Client) -> str:
    return f"/clients/{railway.public_id}/edit/"


def people() -> list[tuple[str, str]]:
    return [(contact.name, contact.role) for contact in Contact.objects.all()]


def test_a_stale_page_neither_deletes_a_contact_nor_resets_the_tax(
    signed_in: Browser, tam: Browser, place: str
) -> None:
    stale = fields_of(signed_in.get(place), phone="01632 960 123", contacts__1__role="head porter")
    new = {"tax": "zero", "contacts.2.name": "Ilse", "contacts.2.role": "driver"}
    assert tam.post(place, fields_of(tam.get(place)) | new).status_code == 302
    page = signed_in.post(place, stale, follow=True).content.decode()
    assert "Marram Light Railway is saved. Tam changed tax, Ilse meanwhile: kept." in page
    client = Client.objects.get()
    assert (client.tax, client.phone) == ("zero", "01632 960 123")
    assert people() == [("Ottoline", "station keeper"), ("Bo", "head porter"), ("Ilse", "driver")]


def test_contacts_keep_their_rows(signed_in: Browser, place: str) -> None:
    rows = list(Contact.objects.values_list("pk", flat=True))
    gone = {f"contacts.0.{name}": "" for name in ("name", "role", "email", "phone")}
    new = {"contacts.2.name": "Ilse"}
    assert signed_in.post(place, fields_of(signed_in.get(place)) | gone | new).status_code == 302
    assert people() == [("Bo", "porter"), ("Ilse", "")]
    assert Contact.objects.get(name="Bo").pk == rows[1]


@pytest.mark.parametrize(
    ("choice", "left"),
    [("mine", [("Bo", "porter")]), ("theirs", [("Ottoline", "manager"), ("Bo", "porter")])],
)
def test_a_contact_taken_out_whom_another_has_changed(
    signed_in: Browser, tam: Browser, place: str, choice: str, left: list[tuple[str, str]]
) -> None:
    gone = {f"contacts.0.{name}": "" for name in ("name", "role", "email", "phone")}
    stale = fields_of(signed_in.get(place)) | gone
    tam.post(place, fields_of(tam.get(place), contacts__0__role="manager"))
    asked = signed_in.post(place, stale)
    page = asked.content.decode()
    assert asked.status_code == 409
    assert "typed here: <b>taken out</b>" in page
    assert "saved by Tam: <b>Ottoline, manager</b>" in page
    assert signed_in.post(place, fields_of(asked)).status_code == 409
    assert signed_in.post(place, fields_of(asked) | {"choose.0": choice}).status_code == 302
    assert people() == left


@pytest.mark.parametrize(
    ("choice", "left"),
    [("mine", [("Bo", "porter"), ("Ottoline", "manager")]), ("theirs", [("Bo", "porter")])],
)
def test_a_contact_changed_whom_another_has_taken_out(
    signed_in: Browser, tam: Browser, place: str, choice: str, left: list[tuple[str, str]]
) -> None:
    stale = fields_of(signed_in.get(place), contacts__0__role="manager")
    gone = {f"contacts.0.{name}": "" for name in ("name", "role", "email", "phone")}
    tam.post(place, fields_of(tam.get(place)) | gone)
    asked = signed_in.post(place, stale)
    assert asked.status_code == 409
    assert "saved by Tam: <b>taken out</b>" in asked.content.decode()
    assert signed_in.post(place, fields_of(asked) | {"choose.0": choice}).status_code == 302
    assert people() == left


def test_bad_input_after_a_merge_is_shown_with_what_others_saved(
    signed_in: Browser, tam: Browser, place: str
) -> None:
    stale = fields_of(signed_in.get(place), email="nobody")
    tam.post(place, fields_of(tam.get(place)) | {"contacts.2.name": "Ilse"})
    asked = signed_in.post(place, stale)
    assert asked.status_code == 422
    assert 'value="Ilse"' in asked.content.decode()
    assert signed_in.post(place, fields_of(asked, email="")).status_code == 302
    assert len(people()) == 3


def test_a_client_erased_meanwhile_stays_so(signed_in: Browser, place: str) -> None:
    stale = fields_of(signed_in.get(place), phone="01632 960 123")
    Client.objects.update(name="Erased", erased_at=timezone.now())
    assert signed_in.post(place, stale).status_code == 404
    assert Client.objects.get().phone == ""


def test_strangers(client: Browser, signed_in: Browser, place: str) -> None:
    stale = fields_of(signed_in.get(place), phone="1")
    client.logout()
    assert client.post(place, stale)["Location"].startswith("/sign-in/")
    assert Client.objects.get().phone == ""
