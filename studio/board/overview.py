"""Commissions by stage, in a fixed number of queries."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Count, F, Prefetch, Q, QuerySet

from studio.commissions.models import Commission, Option
from studio.commissions.price_first import tax_words
from studio.proposals.models import Decision
from studio.proposals.rough import is_measured, price_text
from studio.voice import Voice

__all__ = ["NEWEST", "Card", "Stage", "overview"]

OVER = (Commission.Stage.HANDED_OVER, Commission.Stage.DECLINED)
NEWEST = 20
"""So many of each stage in which nothing is left to do; a search finds the others."""


@dataclass(frozen=True)
class Card:
    """One commission: its options' letters with their prices, and what the client said yes to, if they
    did."""

    commission: Commission
    options: tuple[tuple[str, str], ...]
    approved: Decision | None
    approved_price: str
    tax_words: str
    measured: bool
    late: bool


@dataclass(frozen=True, slots=True)
class Stage:
    """`count` is of all its commissions, of which `cards` may be the newest."""

    name: str
    cards: tuple[Card, ...]
    count: int


def overview(sought: str, voice: Voice, today: date) -> list[Stage]:
    """All stages in the order of the work; `sought` is looked for in titles, names and numbers."""
    found = _found(sought)
    counts = dict(found.order_by().values_list("stage").annotate(Count("pk")))
    cards = [_card(commission, voice, today) for commission in _shown(found)]
    return [
        Stage(
            str(label),
            tuple(card for card in cards if card.commission.stage == value),
            counts.get(value, 0),
        )
        for value, label in Commission.Stage.choices
    ]


def _shown(found: QuerySet[Commission]) -> QuerySet[Commission]:
    """What is under way, all of it, and the newest of what is over; what comes next first, what has no date
    last."""
    shown = ~Q(stage__in=OVER)
    for stage in OVER:
        shown |= Q(pk__in=found.filter(stage=stage).order_by("-pk").values("pk")[:NEWEST])
    return (
        found.filter(shown)
        .select_related("client", "space", "proposal")
        .prefetch_related(
            Prefetch("options", Option.objects.defer("design")),
            Prefetch("proposal__decisions", Decision.objects.filter(answer=Decision.Answer.APPROVED)),
        )
        .annotate(told=Count("proposal__issues__messages"))
        .order_by(F("next_step_on").asc(nulls_last=True), "-pk")
    )


def _found(sought: str) -> QuerySet[Commission]:
    every = Commission.objects.all()
    if not sought:
        return every
    within = Q(title__icontains=sought) | Q(client__name__icontains=sought) | Q(space__name__icontains=sought)
    year, _, sequence = sought.partition("-")
    if year.isdecimal() and sequence.isdecimal() and len(sought) < 12:
        within |= Q(proposal__year=int(year), proposal__sequence=int(sequence))
    return every.filter(within)


def _card(commission: Commission, voice: Voice, today: date) -> Card:
    proposal, options = getattr(commission, "proposal", None), commission.options.all()
    decision = next(iter(proposal.decisions.all()), None) if proposal else None
    return Card(
        commission=commission,
        options=tuple((each.letter, price_text(each, commission, voice)) for each in options),
        approved=decision,
        approved_price=voice.using(decision.currency).minor(decision.gross_minor or 0) if decision else "",
        tax_words=tax_words(commission) if any(each.net_minor is not None for each in options) else "",
        measured=is_measured(commission),
        late=bool(commission.next_step_on and commission.next_step_on < today),
    )
