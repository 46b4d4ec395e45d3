"""What the studio says of itself, checked and saved."""

from typing import Annotated, Literal

from babel import Locale, UnknownLocaleError
from django.db import transaction
from pydantic import Field

from studio.document import document, parse
from studio.forms import Form
from studio.meanwhile import based, caught_up
from studio.people.models import User
from studio.problem import Refused
from studio.typed_email import Email
from studio.workshop.books import locked_studio
from studio.workshop.models import Studio

__all__ = ["save_studio", "studio_form"]


@document
class StudioDetails:
    name: Annotated[str, Field(min_length=1, max_length=200)]
    address: Annotated[str, Field(max_length=1000)] = ""
    email: Email = ""
    phone: Annotated[str, Field(max_length=40)] = ""
    locale: Annotated[str, Field(max_length=20)] = "en_GB"
    units: Literal["metric", "imperial"] = "metric"
    paper: Literal["A4", "letter"] = "A4"
    terms_text: Annotated[str, Field(max_length=10_000)] = ""


def studio_form(studio: Studio) -> Form:
    return based(Form({name: str(getattr(studio, name)) for name in StudioDetails.__dataclass_fields__}))


@transaction.atomic
def save_studio(posted: Form, by: User | None) -> tuple[Studio, str]:
    """Save what is typed, merged with what others saved since the page was made; the text tells what they
    changed. Raises Refused with the fields that will not do."""
    now = locked_studio()
    merged = caught_up(posted, studio_form(now), who=now.toucher(by))
    now.touch(merged.changed, by)
    return merged.attempt(lambda: _saved(merged.form, now)), merged.told


def _saved(form: Form, studio: Studio) -> Studio:
    details = parse(StudioDetails, {name: form[name].strip() for name in StudioDetails.__dataclass_fields__})
    try:
        Locale.parse(details.locale.replace("-", "_"))
    except (UnknownLocaleError, ValueError):
        raise Refused.because(
            "locale", f"“{details.locale}” is no language and country", "such as en_GB, en_US or nl_NL"
        ) from None
    for name, value in vars(details).items():
        setattr(studio, name, value)
    studio.save()
    return studio
