"""The stage of a commission: what is written down settles it, and what nothing else makes true is set by
hand."""

from collections.abc import Mapping

from django.dispatch import Signal

from studio.commissions.closed import is_varied
from studio.commissions.estimating import jobs_of
from studio.commissions.models import Commission
from studio.making.booked import State
from studio.people.models import User
from studio.problem import Refused
from studio.workshop.bookings import job_of, move, open_jobs
from studio.workshop.models import BookingStep

__all__ = ["by_hand", "hand_over", "judged", "stage_asked", "take_back"]

Stage = Commission.Stage
stage_asked = Signal()
"""Sent with `commission`: an app above that knows which stage is settled answers with it, or with None."""
HANDED_OVER = "handed-over"
RIGHT: Mapping[Stage, str] = {
    Stage.ENQUIRY: "withdraw its proposal first, or call off what is sold",
    Stage.PROPOSED: "issue a proposal",
    Stage.APPROVED: "write down the client’s yes, on its proposal’s page",
    Stage.MAKING: "release the work, on the page of its deposit and colours",
    Stage.HANDED_OVER: "write down the client’s yes first",
    Stage.DECLINED: "write down the client’s no, or withdraw the proposal, on its page",
    Stage.CANCELLED: "call off what is sold, on its proposal’s page",
}
"""What would make a stage true that cannot be set by hand."""


def by_hand(commission: Commission) -> tuple[Stage, ...]:
    """The stages that can be set: the settled one, and what follows from nothing that is written down.
    Handed over is what is sold, declined what waits for no answer."""
    answers = stage_asked.send(Commission, commission=commission)
    settled = next((Stage(stage) for _app, stage in answers if stage), None)
    if settled is None:
        return (Stage.ENQUIRY, Stage.DECLINED)
    sold = settled in (Stage.APPROVED, Stage.MAKING)
    return (settled, Stage.HANDED_OVER) if sold else (settled,)


def judged(wanted: str, commission: Commission) -> str:
    """The stage from now on. Raises Refused with what would make another one true; what a client may still
    answer is not handed over."""
    if wanted in ("", commission.stage):
        return commission.stage
    if wanted not in by_hand(commission):
        remedy = RIGHT.get(Stage(wanted), "") if wanted in Stage.values else "one of the list"
        if commission.stage == Stage.CANCELLED:
            remedy = "start a new commission"
        raise Refused.because("stage", "a commission cannot go there by hand", remedy)
    if wanted == Stage.HANDED_OVER and is_varied(commission):
        raise Refused.because("stage", "a variation is open", "end it, or wait for its answer")
    return wanted


def hand_over(commission: Commission, by: User | None) -> None:
    """What is handed over is made: its jobs are done."""
    for job in open_jobs(by_hand=False):
        if job.source.startswith(jobs_of(commission)) and job.state in ("firm", "released"):
            move(job.source, f"{job.source}-{HANDED_OVER}-{job.steps + 1}", "done", by=by)


def take_back(commission: Commission, by: User | None) -> None:
    """It was not handed over after all: what only that has ended goes on as it stood before."""
    own = BookingStep.objects.filter(booking__source__startswith=jobs_of(commission), state="done")
    for step in own.filter(key__contains=HANDED_OVER).select_related("booking"):
        source, before = step.booking.source, step.booking.steps.get(sequence=step.sequence - 1)
        job, state = job_of(source), _state(before.state)
        if job and job.steps == step.sequence:
            move(source, f"{source}-step-{job.steps + 1}", state, by=by)


def _state(text: str) -> State:
    return "released" if text == "released" else "firm"
