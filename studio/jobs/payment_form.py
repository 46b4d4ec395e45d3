"""The form in which a payment is written down."""

from dataclasses import replace
from datetime import date, datetime

from studio.document import parse
from studio.forms import Form
from studio.ids import new_public_id
from studio.jobs.models import Payment
from studio.jobs.paying import ANOTHER, Paid, Received, receive
from studio.money import from_minor
from studio.people.models import User
from studio.problem import Refused
from studio.proposals.models import Decision

__all__ = ["blank_form", "receive_typed", "renewed"]


def blank_form(yes: Decision, paid: Paid, on: date) -> Form:
    """With what is open for the first stage that is not paid whole."""
    due = next((each for each in paid.stages if each.open_minor > 0), None)
    due_minor = min(due.open_minor, max(0, paid.open_minor)) if due else 0
    amount = str(from_minor(due_minor, yes.currency)) if due_minor else ""
    stage = str((due or paid.stages[0]).stage.place)
    typed = {"stage": stage, "amount": amount, "received_on": on.isoformat(), "reference": ""}
    return renewed(Form(typed), yes)


def renewed(form: Form, yes: Decision) -> Form:
    """For another payment, for what stands now."""
    fresh = {"key": new_public_id(), "proposal": yes.proposal.number}
    return replace(form, values={**form.values, **fresh})


def receive_typed(posted: Form, yes: Decision, by: User | None, now: datetime) -> Payment:
    """Raises Refused with the fields that will not do, and as `receive`; Conflict where another option was
    approved since the page was made."""
    if posted["proposal"] != yes.proposal.number:
        raise Refused(ANOTHER)
    given = parse(Received, {name: posted[name].strip() for name in Received.__dataclass_fields__})
    return receive(yes, given, by, now)
