"""Bookings: what jobs take, written step by step and summed by the database."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any, cast

from django.db import transaction
from django.db.models import CharField, Exists, OuterRef, Q, QuerySet, Sum, Value
from django.db.models.functions import Concat
from django.utils import timezone

from studio.making.booked import FOLLOWS, Amounts, Kind, State, differences, takes
from studio.people.models import User
from studio.problem import Problem, Refused
from studio.workshop.books import locked_studio
from studio.workshop.models import Booking, BookingMovement, BookingStep

__all__ = [
    "UNDER_WAY", "Booked", "BookedJob", "booked", "forget_words", "is_held", "job_of", "move", "open_jobs",
    "state_of", "taken_sums", "under_way_sums",
]  # fmt: skip

UNDER_WAY = "under way: "
OPEN: tuple[State, ...] = ("offered", "held", "firm", "released")


@dataclass(frozen=True)
class Booked:
    """Sums over all jobs: what is `taken` (firm, released, held), and what `might_come` (offered, or held
    until a day that is over): whoever offered it knows until when, and ends it."""

    taken: Amounts
    might_come: Amounts


@dataclass(frozen=True)
class BookedJob:
    """A job with its state after so many `steps`. Without words where they were erased."""

    source: str
    words: str
    state: State
    held_until: date | None
    amounts: Amounts
    steps: int

    def total(self, kind: Kind) -> int:
        """Hundredths of one kind, whatever their names."""
        return sum(hundredths for (each, _name), hundredths in self.amounts.items() if each == kind)


@transaction.atomic
def move(
    source: str,
    key: str,
    state: State,
    amounts: Amounts | None = None,
    *,
    words: str = "",
    held_until: date | None = None,
    by: User | None = None,
    by_hand: bool = False,
) -> BookingStep:
    """Bring the job `source` into `state`; the first step of a source begins its booking.

    `source` is whose it is, opaque here and unique (60 characters); `key` is what happened (100 characters,
    unique among all): a step whose key is written already moves nothing, and is given back. `amounts` are all
    that the job takes from now on (`making.booked.amounts`), not what is added; None leaves them as they are.
    `words` name the job to people; they and `by_hand` count at the first step only. `held_until` is the last
    day of a hold.

    May stand in a transaction of its caller, whose other locks are taken first. Raises Refused where `state`
    cannot follow, and for a key of another job.
    """
    booking = _locked(source, words, by_hand, by)
    if before := BookingStep.objects.filter(key=key).first():
        if before.booking_id != booking.pk:
            raise Refused.because("key", f"“{key}” is a step of another job", "a key of its own")
        return before
    last = booking.steps.order_by("-sequence").first()
    _refuse(last.state if last else None, state, held_until, amounts or {})
    step = BookingStep.objects.create(
        booking=booking, sequence=last.sequence + 1 if last else 1, key=key, state=state,
        held_until=held_until, by=by, at=timezone.now(),
    )  # fmt: skip
    if amounts is not None:
        stands = _totals(BookingMovement.objects.filter(step__booking=booking), "kind", "name")
        moved = differences(_by_name(stands), amounts)
        BookingMovement.objects.bulk_create(
            BookingMovement(step=step, kind=kind, name=name, hundredths=hundredths)
            for (kind, name), hundredths in sorted(moved.items())
        )
    return step


def state_of(source: str) -> State | None:
    """None for a job that is not booked."""
    last = BookingStep.objects.filter(booking__source=source).order_by("-sequence")
    return cast("State | None", last.values_list("state", flat=True).first())


def is_held(source: str, as_of: date) -> bool:
    """Whether nobody has said yes to it, and it has its place all the same."""
    last = BookingStep.objects.filter(booking__source=source).order_by("-sequence")
    state, until = last.values_list("state", "held_until").first() or ("", None)
    return state == "held" and takes("held", until, as_of)


def job_of(source: str) -> BookedJob | None:
    """In whatever state; None where it is not booked."""
    return next(iter(_jobs(_last_steps().filter(booking__source=source))), None)


def forget_words(sources: Iterable[str]) -> None:
    """What the jobs take is no secret; whose they are is known to whom their sources tell it."""
    Booking.objects.filter(source__in=sources).update(words=None)


def booked(as_of: date) -> Booked:
    """The sums as of a day: a hold ends by itself."""
    might_come = _moved(Q(state="offered") | Q(state="held", held_until__lt=as_of))
    return Booked(_by_name(taken_sums(as_of)), _by_name(_totals(might_come, "kind", "name")))


def taken_sums(as_of: date, without: str = "") -> QuerySet[BookingMovement, Any]:
    """What others must do without, in rows of (kind, name, hundredths); as `making.booked.takes` has it for
    one job. Jobs whose source starts with `without` are those of the asker."""
    taken = Q(state__in=("firm", "released")) | Q(state="held", held_until__gte=as_of)
    return _totals(_others(taken, without), "kind", "name")


def under_way_sums(without: str = "", since: date | None = None) -> QuerySet[BookingMovement, Any]:
    """That part of it which the workshop is making, or has been making `since` that day or longer; each kind
    begins with UNDER_WAY."""
    kind, going = Concat(Value(UNDER_WAY), "kind", output_field=CharField()), Q(state="released")
    if since:
        steps = BookingStep.objects.order_by()
        going &= Q(booking__in=steps.filter(going, at__date__lte=since).values("booking"))
        going &= ~Q(booking__in=steps.filter(~Q(state="released"), at__date__gt=since).values("booking"))
    return _totals(_others(going, without).annotate(going=kind), "going", "name")


def _others(taken: Q, without: str) -> QuerySet[BookingMovement]:
    return _moved(taken & ~Q(booking__source__startswith=without) if without else taken)


def open_jobs(by_hand: bool) -> list[BookedJob]:
    """Those neither done nor cancelled that are typed by hand, or the others, as they were booked; two
    queries."""
    return _jobs(_last_steps().filter(booking__by_hand=by_hand, state__in=OPEN))


def _jobs(last: QuerySet[BookingStep]) -> list[BookedJob]:
    steps = list(last.select_related("booking").order_by("booking"))
    moved = BookingMovement.objects.filter(step__booking__in=[step.booking_id for step in steps])
    found: dict[int, dict[tuple[Kind, str], int]] = {step.booking_id: {} for step in steps}
    for booking, kind, name, hundredths in _totals(moved, "step__booking", "kind", "name"):
        found[booking][kind, name] = int(hundredths)
    return [
        BookedJob(
            source=step.booking.source,
            words=step.booking.words or "",
            state=step.state,  # type: ignore[arg-type]  # the table checks it
            held_until=step.held_until,
            amounts=found[step.booking_id],
            steps=step.sequence,
        )
        for step in steps
    ]


def _last_steps() -> QuerySet[BookingStep]:
    """The last step of every job, which says its state."""
    later = BookingStep.objects.filter(booking=OuterRef("booking"), sequence__gt=OuterRef("sequence"))
    return BookingStep.objects.filter(~Exists(later))


def _moved(states: Q) -> QuerySet[BookingMovement]:
    jobs = _last_steps().filter(states).order_by().values("booking")
    return BookingMovement.objects.filter(step__booking__in=jobs)


def _by_name(sums: QuerySet[BookingMovement, Any]) -> Amounts:
    return {(kind, name): int(hundredths) for kind, name, hundredths in sums}


def _totals(moved: QuerySet[BookingMovement], *by: str) -> QuerySet[BookingMovement, Any]:
    """Sums that are not nothing, in rows of (*by, hundredths)."""
    return moved.order_by().values_list(*by).annotate(total=Sum("hundredths")).exclude(total=0)


def _locked(source: str, words: str, by_hand: bool, by: User | None) -> Booking:
    """The job's row, held until the transaction ends: its steps follow one another. On SQLite transactions
    that write do anyway. Jobs of the calendar's page change under its lock."""
    begun = {"words": words, "by_hand": by_hand, "by": by}
    made, _new = Booking.objects.get_or_create(source=source, defaults=begun)
    if made.by_hand:
        locked_studio()
    return Booking.objects.select_for_update().get(pk=made.pk)


def _refuse(last: str | None, state: State, held_until: date | None, amounts: Amounts) -> None:
    problems: list[Problem] = []
    follows = FOLLOWS[cast("State | None", last)]
    if state not in follows:
        reason = f"a job that is {last or 'not booked yet'} does not become {state}"
        remedy = " or ".join(follows) or "book it anew, under a source of its own"
        problems.append(Problem("state", reason, remedy))
    if (state == "held") != (held_until is not None):
        problems.append(Problem("held_until", "only a hold has a last day", "give it to a hold"))
    if any(hundredths < 0 for hundredths in amounts.values()):
        problems.append(Problem("amounts", "a job takes less than nothing", "give what it takes in all"))
    if problems:
        raise Refused(*problems)
