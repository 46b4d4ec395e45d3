"""What a studio types about a client, checked and saved."""

from decimal import Decimal
from typing import Annotated, Any, Literal

from django.db import transaction
from pydantic import Field

from studio.clients.models import Client, Contact
from studio.document import document
from studio.form_tree import Known
from studio.forms import Form, plain
from studio.meanwhile import based, caught_up
from studio.people.models import User
from studio.pricing.terms import Prices
from studio.problem import Refused
from studio.typed_distance import parse_with_distance, shown_distance
from studio.typed_email import Email
from studio.voice import Voice

__all__ = ["ClientDetails", "ContactDetails", "form_of", "save_client"]

Name = Annotated[str, Field(min_length=1, max_length=200)]
Phone = Annotated[str, Field(max_length=40)]


@document
class ContactDetails:
    name: Name
    role: Annotated[str, Field(max_length=80)] = ""
    email: Email = ""
    phone: Phone = ""


@document
class ClientDetails:
    name: Name
    kind: Literal["consumer", "business"] = "consumer"
    prices: Prices = "usual"
    email: Email = ""
    phone: Phone = ""
    address: Annotated[str, Field(max_length=1000)] = ""
    tax: Annotated[str, Field(min_length=1, max_length=40)] = "standard"
    tax_number: Annotated[str, Field(max_length=40)] = ""
    distance_km: Annotated[Decimal, Field(ge=0, le=20_000, decimal_places=1)] | None = None
    notes: Annotated[str, Field(max_length=5000)] = ""
    contacts: tuple[ContactDetails, ...] = ()


CONTACT_FIELDS = ("name", "role", "email", "phone")
KNOWN = Known(lists={"contacts": ()})


def form_of(client: Client, voice: Voice) -> Form:
    """A client's details as a form; the lines of contacts have their rows' keys."""
    names = [name for name in ClientDetails.__dataclass_fields__ if name != "contacts"]
    values = {name: plain(getattr(client, name)) for name in names}
    values["distance_km"] = shown_distance(client.distance_km, voice)
    for index, contact in enumerate(client.contacts.all() if client.pk else ()):
        line = {name: getattr(contact, name) for name in CONTACT_FIELDS} | {"key": str(contact.pk)}
        values |= {f"contacts.{index}.{name}": text for name, text in line.items()}
    return based(Form(values), KNOWN)


@transaction.atomic
def save_client(posted: Form, client: Client, voice: Voice, by: User | None) -> tuple[Client, str]:
    """Save a client, merged with what others saved since the page was made; the text tells what they changed.
    Raises Refused with the fields that do not make a client."""
    if not client.pk:
        return _saved(posted, client, voice), ""
    now = Client.objects.select_for_update().get(pk=client.pk)
    if now.erased_at:
        raise Refused.because("name", "this client was erased meanwhile", "keep nothing of them")
    merged = caught_up(posted, form_of(now, voice), KNOWN, now.toucher(by))
    now.touch(merged.changed, by)
    return merged.attempt(lambda: _saved(merged.form, now, voice)), merged.told


def _saved(form: Form, client: Client, voice: Voice) -> Client:
    typed = _typed(form)
    plainly = {**typed, "contacts": _without_keys(typed["contacts"])}
    details = parse_with_distance(ClientDetails, plainly, voice)
    for name, value in vars(details).items():
        if name != "contacts":
            setattr(client, name, value)
    client.save()
    rows = {str(row.pk): row for row in client.contacts.all()}
    for contact, line in zip(details.contacts, typed["contacts"], strict=True):
        row = rows.pop(line.get("key", ""), Contact(client=client))
        for name, value in vars(contact).items():
            setattr(row, name, value)
        row.save()
    client.contacts.filter(pk__in=rows).delete()
    return client


def _typed(form: Form) -> dict[str, Any]:
    """The fields without those of the page itself; lines of contacts with nothing in them do not count, and
    those that count keep their number, so that a problem finds its line."""
    typed = form.document()
    rows = typed.pop("contacts", [])
    known = {name: text for name, text in typed.items() if name in ClientDetails.__dataclass_fields__}
    while isinstance(rows, list) and rows and _empty(rows[-1]):
        rows.pop()
    return {**known, "contacts": rows}


def _without_keys(rows: Any) -> Any:
    """As they are where they are no lines: reading them as details says so."""
    if not isinstance(rows, list):
        return rows
    return [
        {name: text for name, text in row.items() if name != "key"} if isinstance(row, dict) else row
        for row in rows
    ]


def _empty(row: Any) -> bool:
    return isinstance(row, dict) and not any(row.values())
