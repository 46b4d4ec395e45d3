"""What is written down about a commission: its title, its client, the next step, what was said."""

from datetime import date
from typing import Annotated

from pydantic import Field

from studio.clients.models import Client
from studio.commissions.models import Commission
from studio.document import document, parse
from studio.forms import Form
from studio.problem import Refused

__all__ = ["about_form", "save_about", "save_said"]

LONGEST_SAID = 20_000


@document
class About:
    title: Annotated[str, Field(min_length=1, max_length=200)]
    next_step: Annotated[str, Field(max_length=200)] = ""
    next_step_on: date | None = None


def about_form(commission: Commission) -> Form:
    client = commission.client.public_id if commission.client else ""
    values = {name: str(getattr(commission, name) or "") for name in About.__dataclass_fields__}
    return Form({**values, "client": client, "stage": commission.stage})


def save_about(form: Form, commission: Commission) -> Commission:
    """Raises Refused. The stage can be set by hand, except to and from "approved": that is a decision's."""
    typed = {name: form[name].strip() for name in About.__dataclass_fields__}
    about = parse(About, typed | {"next_step_on": typed["next_step_on"] or None})
    for name, value in vars(about).items():
        setattr(commission, name, value)
    commission.stage = _stage(form["stage"], commission)
    commission.client = _client(form["client"])
    if commission.client and commission.space.client is None:
        commission.space.client = commission.client
        commission.space.save(update_fields=["client"])
    commission.save()
    return commission


def save_said(form: Form, commission: Commission) -> Commission:
    text = form["said"]
    if len(text) > LONGEST_SAID:
        raise Refused.because("said", f"these notes have {len(text)} characters", f"at most {LONGEST_SAID}")
    commission.said = text
    commission.save(update_fields=["said"])
    return commission


def _client(public_id: str) -> Client | None:
    if not public_id:
        return None
    found = Client.objects.filter(public_id=public_id[:12], erased_at=None).first()
    if found is None:
        raise Refused.because("client", "this client is not there any more", "choose another one, or none")
    return found


def _stage(wanted: str, commission: Commission) -> str:
    """Making follows approval, and handing over follows making; what is approved stays so."""
    stage = Commission.Stage
    before = [stage.ENQUIRY, stage.PROPOSED, stage.DECLINED]
    after = [stage.APPROVED, stage.MAKING, stage.HANDED_OVER]
    allowed = after if commission.stage in after else before
    if wanted not in [*allowed, ""]:
        names = ", ".join(str(option.label) for option in allowed)
        raise Refused.because("stage", "a commission cannot go there by hand", f"one of {names}")
    return wanted or commission.stage
