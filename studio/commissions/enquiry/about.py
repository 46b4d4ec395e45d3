"""What is written down about a commission: its title, its client, its stage, the next step."""

from datetime import date
from typing import Annotated

from django.db import transaction
from pydantic import Field

from studio.clients.models import Client
from studio.commissions.enquiry.stages import hand_over, judged, take_back
from studio.commissions.locks import locked_commission
from studio.commissions.models import Commission
from studio.document import document, parse
from studio.form_tree import Known
from studio.forms import Form
from studio.meanwhile import based, caught_up
from studio.people.models import User
from studio.problem import Refused

__all__ = ["about_form", "save_about"]


@document
class About:
    title: Annotated[str, Field(min_length=1, max_length=200)]
    next_step: Annotated[str, Field(max_length=200)] = ""
    next_step_on: date | None = None


def _said(name: str, text: str) -> str:
    if name == "client":
        return (
            Client.objects.filter(public_id=text[:12]).values_list("name", flat=True).first() or "nobody yet"
        )
    return str(dict(Commission.Stage.choices).get(text, "")) if name == "stage" else ""


KNOWN = Known(said=_said)


def about_form(commission: Commission) -> Form:
    client = commission.client.public_id if commission.client else ""
    values = {name: str(getattr(commission, name) or "") for name in About.__dataclass_fields__}
    return based(Form({**values, "client": client, "stage": commission.stage}), KNOWN)


@transaction.atomic
def save_about(posted: Form, commission: Commission, by: User | None) -> tuple[Commission, str]:
    """Save what is typed, merged with what others saved since the page was made; the text tells what they
    changed. Raises Refused. The stage can be set by hand where nothing else makes it true: a decision may
    have come in since the page was opened."""
    now = locked_commission(commission.pk)
    merged = caught_up(posted, about_form(now), KNOWN, now.toucher(by))
    now.touch(merged.changed, by)
    return merged.attempt(lambda: _saved(merged.form, now, by)), merged.told


def _saved(form: Form, now: Commission, by: User | None) -> Commission:
    typed = {name: form[name].strip() for name in About.__dataclass_fields__}
    about = parse(About, typed | {"next_step_on": typed["next_step_on"] or None})
    for name, value in vars(about).items():
        setattr(now, name, value)
    was, now.stage, now.client = now.stage, judged(form["stage"], now), _client(form["client"], now)
    if now.stage == Commission.Stage.HANDED_OVER:
        hand_over(now, by)
    elif was == Commission.Stage.HANDED_OVER:
        take_back(now, by)
    now.save(update_fields=[*vars(about), "stage", "client", "touched"])
    if now.client and now.space.client is None:
        now.space.client = now.client
        now.space.save(update_fields=["client"])
    return now


def _client(public_id: str, commission: Commission) -> Client | None:
    found = Client.objects.filter(public_id=public_id[:12], erased_at=None).first() if public_id else None
    if public_id and found is None:
        raise Refused.because("client", "this client is not there any more", "choose another one, or none")
    was = commission.client
    if was and found != was and commission.stage != Commission.Stage.ENQUIRY:
        raise Refused.because(
            "client", f"a proposal went to {was}", "start a new commission for another client"
        )
    return found
