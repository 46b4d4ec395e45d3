"""What a studio types about a client, checked and saved."""

from decimal import Decimal
from typing import Annotated, Any, Literal

from django.db import transaction
from pydantic import Field

from studio.clients.models import Client, Contact
from studio.document import document, parse
from studio.forms import Form, plain
from studio.typed_email import Email

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
    email: Email = ""
    phone: Phone = ""
    address: Annotated[str, Field(max_length=1000)] = ""
    tax: Annotated[str, Field(min_length=1, max_length=40)] = "standard"
    distance_km: Annotated[Decimal, Field(ge=0, le=20_000, decimal_places=1)] = Decimal(0)
    notes: Annotated[str, Field(max_length=5000)] = ""
    contacts: tuple[ContactDetails, ...] = ()


CONTACT_FIELDS = ("name", "role", "email", "phone")


def form_of(client: Client) -> Form:
    """A client's details as a form, with one empty line for another contact."""
    names = [name for name in ClientDetails.__dataclass_fields__ if name != "contacts"]
    values = {name: plain(getattr(client, name)) for name in names}
    for index, contact in enumerate(client.contacts.all() if client.pk else ()):
        values |= {f"contacts.{index}.{name}": getattr(contact, name) for name in CONTACT_FIELDS}
    return Form(values)


def save_client(form: Form, client: Client) -> Client:
    """Raises Refused with the fields that do not make a client."""
    details = parse(ClientDetails, _typed(form))
    for name, value in vars(details).items():
        if name != "contacts":
            setattr(client, name, value)
    with transaction.atomic():
        client.save()
        client.contacts.all().delete()
        Contact.objects.bulk_create(Contact(client=client, **vars(row)) for row in details.contacts)
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


def _empty(row: Any) -> bool:
    return isinstance(row, dict) and not any(row.values())
