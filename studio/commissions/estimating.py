"""Options and what they cost: gather the documents, let the pure line decide, save what it said."""

from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field, replace
from datetime import date
from typing import TypeVar

from django.db import transaction
from django.db.models import Q

from studio.clients.models import Space as SpaceRow
from studio.commissions.closed import is_closed, refuse_closed
from studio.commissions.locks import locked_commission, locked_in_space, locked_with_others
from studio.commissions.models import Commission, Option, OptionChange
from studio.estimate.brief import Brief
from studio.estimate.estimate import estimate, question_digest
from studio.estimate.result import Estimate
from studio.lattice.design import Design, Space
from studio.making.booked import Amounts
from studio.making.calendar import Dates
from studio.making.shop import ShopState
from studio.memo import memo
from studio.money import to_minor
from studio.people.models import User
from studio.pricing.rate_book import RateBook
from studio.pricing.terms import Terms
from studio.problem import Refused
from studio.stored.door import Unreadable
from studio.stored.kinds import DESIGN, SPACE, TERMS
from studio.workshop.books import book_of, current_book
from studio.workshop.shop import NOTHING, current_shop

__all__ = [
    "Asked", "Stale", "Surroundings", "brief_of", "dates_now", "design_of", "estimate_option",
    "estimated", "in_currency", "jobs_of", "note_change", "reprice", "reprice_in", "save_design",
    "save_space_of", "shop_for", "use_newer_rates",
]  # fmt: skip


T = TypeVar("T")


class Stale(Exception):
    """Somebody else changed the option since the page was read; `option` is as it stands now."""

    def __init__(self, option: Option) -> None:
        self.option = option
        super().__init__(f"option {option.letter} is at revision {option.revision}")


@dataclass(frozen=True)
class Surroundings:
    """What the options of a commission share: the space, how its lengths were typed, the terms, the day by
    which it is wanted; `changed` are the fields of their page that are changed."""

    space: Space
    terms: Terms
    typed: Mapping[str, str]
    changed: tuple[str, ...] = ()
    wanted_on: date | None = None


def design_of(option: Option) -> Design:
    """Raises Unreadable."""
    return DESIGN.read(option.design)


def brief_of(option: Option) -> Brief:
    commission = option.commission
    return Brief(
        title=commission.title,
        design=design_of(option),
        space=SPACE.read(commission.space.document),
        terms=TERMS.read(commission.terms),
    )


def jobs_of(commission: Commission) -> str:
    """What the sources of a commission's bookings start with."""
    return f"{commission.public_id}-"


def shop_for(
    commission: Commission, as_of: date, more: Amounts = NOTHING, going_since: date | None = None
) -> ShopState:
    """The workshop without what is booked for this commission already: a variation is made in place of what
    was sold, not after it. The others as in `current_shop`. Raises Unreadable."""
    return current_shop(as_of, jobs_of(commission), more, going_since)


def estimate_option(option: Option, as_of: date, shop: ShopState | None = None) -> Estimate:
    """The option at the rates under which it was saved, with the workshop as it stands. Raises Refused."""
    book = book_of(option.rate_book)
    return estimated(
        in_currency(brief_of(option), book), book, shop or shop_for(option.commission, as_of), as_of
    )


def estimated(brief: Brief, book: RateBook, shop: ShopState, as_of: date) -> Estimate:
    """As `estimate`. What was worked out a moment ago is not worked out again: the page of a change that was
    just saved, of one that was undone, of a reload. Raises Refused."""
    question = brief, book, shop, as_of
    return _estimated(Asked(question_digest(*question), question))


def dates_now(option: Option, as_of: date, shop: ShopState) -> Dates:
    """Its dates as of a day, without what each printer does. Of an option that did not change since it was
    last asked, nothing is worked out. Raises Refused."""
    book = book_of(option.rate_book)
    question = in_currency(brief_of(option), book), book, shop, as_of
    return _dates(Asked(question_digest(*question), question))


@dataclass(frozen=True)
class Asked:
    """A question that is known by its digest."""

    digest: str
    question: tuple[Brief, RateBook, ShopState, date] = field(compare=False)


@memo
def _estimated(asked: Asked) -> Estimate:
    return estimate(*asked.question)


@memo
def _dates(asked: Asked) -> Dates:
    return replace(_estimated(asked).dates, runs=())


def save_design(
    option: Option,
    design: Design,
    revision: int,
    by: User | None,
    as_of: date,
    around: Surroundings | None = None,
    back_to: int | None = None,
) -> Estimate:
    """Save a change of an option, and of what its commission's options share, at the option's own rates.

    Decides first: a design without a price raises Refused and nothing is saved. Raises Stale when the option
    is no longer at `revision`.
    """
    book, before, around_before = book_of(option.rate_book), _design_before(option), _around_of(option)
    shared = around or around_before
    brief = Brief(title=option.commission.title, design=design, space=shared.space, terms=shared.terms)
    found = estimated(in_currency(brief, book), book, shop_for(option.commission, as_of), as_of)
    priced_anew = (shared.space, shared.terms) != (around_before.space, around_before.terms)
    around_moved = priced_anew or shared.wanted_on != around_before.wanted_on
    with transaction.atomic():
        commission, together = locked_with_others(option.commission_id)
        refuse_closed(commission)
        stands = Option.every.select_related("commission__space").get(pk=option.pk)
        if stands.removed_at:
            raise Refused.because("options", "somebody removed this option", "bring it back first")
        if stands.revision != revision or not _as_before(stands, before, around_before):
            raise Stale(stands)
        option.commission = stands.commission
        if design != before:
            note_change(option, design, by, back_to)
        if around_moved:
            if space_moved := shared.space != around_before.space:
                _refuse_sold(together)
            _save_around(option.commission, shared, by)
            around_it = Q() if space_moved else Q(commission=option.commission)
            if priced_anew:
                reprice_in(option.commission.space, as_of, around_it & ~Q(pk=option.pk))
        option.design, option.revision = DESIGN.write(design), revision + (design != before or around_moved)
        set_figures(option, found)
        option.save()
    return found


def _design_before(option: Option) -> Design | None:
    """None where it cannot be read: a change, such as an undo, mends it."""
    with suppress(Unreadable):
        return design_of(option)
    return None


def _as_before(stands: Option, design: Design | None, around: Surroundings) -> bool:
    """Whether nobody saved in between what a change was decided by, the space and the terms included."""
    now = _around_of(stands)
    shared = (around.space, around.terms, around.wanted_on)
    return (_design_before(stands), now.space, now.terms, now.wanted_on) == (design, *shared)


def _around_of(option: Option) -> Surroundings:
    """Raises Unreadable."""
    commission, space = option.commission, option.commission.space
    document, terms = SPACE.read(space.document), TERMS.read(commission.terms)
    return Surroundings(document, terms, space.typed_texts, wanted_on=commission.wanted_on)


def use_newer_rates(option: Option, as_of: date) -> Estimate:
    """Move an option to the rate book of the day: nothing else does. Raises Refused, and saves nothing, where
    it has no price there."""
    with transaction.atomic():
        refuse_closed(locked_commission(option.commission_id))
        option.refresh_from_db(from_queryset=Option.objects.all())
        option.rate_book = current_book(as_of)[0]
        found = estimate_option(option, as_of)
        option.revision += 1
        set_figures(option, found)
        option.save()
    return found


def reprice(option: Option, as_of: date) -> None:
    """Fill an option's figures in at its own rates; none while it cannot be priced. Not saved."""
    found = None
    with suppress(Refused):  # the option's page says why; the list shows no price
        found = estimate_option(option, as_of)
    set_figures(option, found)


def save_space_of(space: SpaceRow, save: Callable[[SpaceRow], T], as_of: date) -> T:
    """Save a space that was measured or described anew: the figures of all options in it follow. `save` gets
    the row as it is now, held until it is saved. Raises Refused, and saves nothing, where its sizes change
    under a panel that is already sold."""
    if not space.pk:
        return save(space)
    with transaction.atomic():
        together = locked_in_space(space.pk)
        now = SpaceRow.objects.select_for_update().get(pk=space.pk)
        before = SPACE.readable(now.document)
        saved = save(now)
        if together and SPACE.read(now.document) != before:
            _refuse_sold(together)
            reprice_in(now, as_of)
    return saved


def note_change(option: Option, design: Design, by: User | None, back_to: int | None = None) -> None:
    last = option.changes.order_by("-sequence").values_list("sequence", flat=True).first() or 0
    OptionChange.objects.create(
        option=option, sequence=last + 1, design=DESIGN.write(design), by=by, back_to=back_to
    )


def set_figures(option: Option, found: Estimate | None) -> None:
    """The columns that lists show, from an estimate or, without one, empty."""
    option.currency = option.rate_book.currency
    option.net_minor = option.gross_minor = option.ready_on = None
    option.digest = ""
    if found:
        option.net_minor = to_minor(found.price.net, option.currency)
        option.gross_minor = to_minor(found.price.gross, option.currency)
        option.ready_on, option.digest = found.dates.held_on, found.digest


def in_currency(brief: Brief, book: RateBook) -> Brief:
    """A commission from before the studio changed its currency is quoted in that of its
    rates."""
    return replace(brief, terms=replace(brief.terms, currency=book.currency))


def _save_around(commission: Commission, around: Surroundings, by: User | None) -> None:
    commission.terms, commission.wanted_on = TERMS.write(around.terms), around.wanted_on
    commission.touch((name for name in around.changed if name.startswith("terms.")), by)
    commission.save(update_fields=["terms", "wanted_on", "touched"])
    space = commission.space
    space.document, space.typed = SPACE.write(around.space), dict(around.typed)
    space.touch((name for name in around.changed if name.startswith("space.")), by)
    space.save(update_fields=["document", "typed", "touched"])


def _refuse_sold(commissions: tuple[Commission, ...]) -> None:
    if any(map(is_closed, commissions)):
        raise Refused.because(
            "space", "a panel for this space is approved", "describe a space of its own for another panel"
        )


def reprice_in(space: SpaceRow, as_of: date, which: Q | None = None) -> None:
    """A space belongs to all options in it, terms to those of one commission (`which` of them): their figures
    follow, and their pages are stale."""
    options = Option.objects.filter(which or Q(), commission__space=space)
    for option in options.select_related("commission__space", "rate_book"):
        reprice(option, as_of)
        option.revision += 1
        option.save()
