"""Commissions by stage, in a fixed number of queries."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Case, Count, F, Prefetch, Q, QuerySet, When

from studio.board.bookings import BookingsShown
from studio.commissions.closed import is_late, is_sold, is_varied
from studio.commissions.models import Commission, Entry, Option
from studio.commissions.price_first import is_measured, price_text, sold_price, tax_words
from studio.proposals.appointments import standing_among
from studio.proposals.models import Decision, Proposal
from studio.voice import Voice

__all__ = ["NEWEST", "Card", "Stage", "overview"]

SOLD = (Commission.Stage.APPROVED, Commission.Stage.MAKING)
OVER = (Commission.Stage.HANDED_OVER, Commission.Stage.DECLINED, Commission.Stage.CANCELLED)
NEWEST = 20
"""So many of each stage in which nothing is left to do; a search finds the others."""


@dataclass(frozen=True)
class Card:
    """One commission: its options' letters with their prices, the numbers of its proposals, and what the
    client said yes to last, if they did, with what became of it. `due` while what is sold is not handed over;
    `overdue` where the day has passed by which it was to be ready, `late` that of the next step. `slot` tells
    of a hold; `booked` whether what is sold has its place in the workshop."""

    commission: Commission
    options: tuple[tuple[str, str], ...]
    proposals: tuple[str, ...]
    approved: Decision | None
    approved_price: str
    became: str
    tax_words: str
    measured: bool
    late: bool
    due: bool
    overdue: bool
    visits: tuple[str, ...]
    slot: str
    booked: bool


@dataclass(frozen=True, slots=True)
class Stage:
    """`count` is of all its commissions, of which `cards` may be the newest."""

    name: str
    cards: tuple[Card, ...]
    count: int


def overview(sought: str, voice: Voice, today: date, jobs: BookingsShown) -> list[Stage]:
    """All stages in the order of the work; `sought` is looked for in titles, names and numbers."""
    found = _found(sought)
    counts = dict(found.order_by().values_list("stage").annotate(Count("pk")))
    cards = [_card(commission, voice, today, jobs) for commission in _shown(found)]
    return [
        Stage(
            str(label), tuple(card for card in cards if card.commission.stage == value), counts.get(value, 0)
        )
        for value, label in Commission.Stage.choices
    ]


def _shown(found: QuerySet[Commission]) -> QuerySet[Commission]:
    """What is under way, all of it, and the newest of what is over; what is sold by the day of being ready,
    then what comes next first, what has no date last."""
    shown = ~Q(stage__in=OVER)
    for stage in OVER:
        shown |= Q(pk__in=found.filter(stage=stage).order_by("-pk").values("pk")[:NEWEST])
    return (
        found.filter(shown)
        .select_related("client", "space")
        .prefetch_related(
            Prefetch("options", Option.objects.defer("design")),
            Prefetch("proposals", Proposal.objects.order_by("place")),
            Prefetch("proposals__decisions", _yeses()),
            "proposals__decisions__appointments",
        )
        .annotate(told=Count("entries", filter=Q(entries__kind=Entry.Kind.FROM_CLIENT)))
        .annotate(due=Case(When(stage__in=SOLD, then=F("due_on"))))
        .order_by(F("due").asc(nulls_last=True), F("next_step_on").asc(nulls_last=True), "-pk")
    )


def _yeses() -> QuerySet[Decision]:
    found = Decision.objects.filter(answer=Decision.Answer.APPROVED).select_related("taping")
    return found.defer("taping__figures", "taping__making")


def _found(sought: str) -> QuerySet[Commission]:
    every = Commission.objects.all()
    if not sought:
        return every
    within = Q(title__icontains=sought) | Q(client__name__icontains=sought) | Q(space__name__icontains=sought)
    year, _, sequence = sought.partition("-")
    if year.isdecimal() and sequence.isdecimal() and len(sought) < 12:
        numbered = Proposal.objects.filter(year=int(year), sequence=int(sequence))
        within |= Q(pk__in=numbered.values("commission"))  # a join would count messages twice
    return every.filter(within)


def _card(commission: Commission, voice: Voice, today: date, jobs: BookingsShown) -> Card:
    options, proposals = commission.options.all(), commission.proposals.all()
    decision = next((said for each in reversed(proposals) for said in each.decisions.all()), None)
    visits = (row for each in proposals for yes in each.decisions.all() for row in yes.appointments.all())
    return Card(
        commission=commission,
        options=tuple((each.letter, price_text(each, voice)) for each in options),
        proposals=tuple(each.number for each in proposals),
        approved=decision,
        approved_price=_sold(commission, decision, voice) if decision else "",
        became=_became(commission),
        tax_words=tax_words(commission, options),
        measured=is_measured(commission),
        late=bool(commission.next_step_on and commission.next_step_on < today),
        due=is_sold(commission),
        visits=tuple(row.in_words(voice) for row in standing_among(visits)) if is_sold(commission) else (),
        overdue=is_late(commission, today),
        slot=jobs.slots.get(commission.public_id, ""),
        booked=commission.public_id in jobs.sold,
    )


def _sold(commission: Commission, decision: Decision, voice: Voice) -> str:
    minor, words = sold_price(commission, decision.letter, decision.sold_minor or 0)
    return f"{voice.using(decision.currency).minor(minor)} {words}".rstrip()


def _became(commission: Commission) -> str:
    """What became of a yes."""
    if commission.stage == Commission.Stage.CANCELLED:
        return "cancelled"
    return "being varied" if is_varied(commission) else "approved"
