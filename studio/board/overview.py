"""Commissions by stage, in a fixed number of queries."""

from dataclasses import dataclass
from datetime import date

from babel.dates import format_date
from django.db.models import Count, F, Prefetch, Q, QuerySet

from studio.commissions.models import Commission, Option
from studio.pricing.format import format_money
from studio.pricing.money import from_minor
from studio.proposals.models import Decision

__all__ = ["Card", "Priced", "Stage", "overview"]


@dataclass(frozen=True, slots=True)
class Priced:
    letter: str
    price: str


@dataclass(frozen=True)
class Card:
    """One commission. `approved` is empty until the client said yes: then option, frozen price, day."""

    commission: Commission
    client: str
    number: str
    messages: int
    options: tuple[Priced, ...]
    approved: str
    unmeasured: bool
    next_on: str
    late: bool


@dataclass(frozen=True, slots=True)
class Stage:
    name: str
    cards: tuple[Card, ...]


def overview(sought: str, locale: str, today: date) -> list[Stage]:
    """All stages in the order of the work; `sought` is looked for in titles, names and numbers."""
    cards = [_card(commission, locale, today) for commission in _found(sought)]
    return [
        Stage(str(label), tuple(card for card in cards if card.commission.stage == value))
        for value, label in Commission.Stage.choices
    ]


def _found(sought: str) -> QuerySet[Commission]:
    every = Commission.objects.select_related("client", "space", "proposal").prefetch_related(
        Prefetch("options", Option.objects.defer("design")),
        Prefetch("proposal__decisions", Decision.objects.filter(answer=Decision.Answer.APPROVED)),
    )
    # what comes next first, what has no date last
    every = every.annotate(told=Count("proposal__issues__messages"))
    every = every.order_by(F("next_step_on").asc(nulls_last=True), "-pk")
    if not sought:
        return every
    within = Q(title__icontains=sought) | Q(client__name__icontains=sought) | Q(space__name__icontains=sought)
    year, _, sequence = sought.partition("-")
    if year.isdecimal() and sequence.isdecimal() and len(sought) < 12:
        within |= Q(proposal__year=int(year), proposal__sequence=int(sequence))
    return every.filter(within)


def _card(commission: Commission, locale: str, today: date) -> Card:
    proposal = getattr(commission, "proposal", None)
    decisions = list(proposal.decisions.all()) if proposal else []
    next_on = commission.next_step_on
    unmeasured = not commission.space.document.get("measured", True)
    about = "about " if unmeasured else ""
    return Card(
        commission=commission,
        client=commission.client.name if commission.client else "",
        number=proposal.number if proposal else "",
        messages=getattr(commission, "told", 0),
        options=tuple(
            Priced(option.letter, _price(option, about, locale)) for option in commission.options.all()
        ),
        approved=_approved(decisions[0], locale) if decisions else "",
        unmeasured=unmeasured,
        next_on=_day(next_on, locale) if next_on else "",
        late=bool(next_on and next_on < today),
    )


def _price(option: Option, about: str, locale: str) -> str:
    """Without a measure a price is not more than about right: the option's page shows its range."""
    if option.gross_minor is None:
        return "no price yet"
    return about + _money(option.gross_minor, option.currency, locale)


def _approved(decision: Decision, locale: str) -> str:
    price = _money(decision.gross_minor or 0, decision.currency, locale)
    return f"Option {decision.letter} for {price} with tax, {_day(decision.said_on, locale)}"


def _money(minor: int, currency: str, locale: str) -> str:
    return format_money(from_minor(minor, currency), currency, locale)


def _day(day: date, locale: str) -> str:
    return format_date(day, "medium", locale=locale.replace("-", "_"))
