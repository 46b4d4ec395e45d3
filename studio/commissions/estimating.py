"""Options and what they cost: gather the documents, let the pure line decide, save what it said."""

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date

from django.db import transaction

from studio.clients.models import Space as SpaceRow
from studio.commissions.models import Commission, Option, OptionChange
from studio.document import dump, parse
from studio.estimate.brief import Brief
from studio.estimate.estimate import estimate
from studio.estimate.result import Estimate
from studio.lattice.design import Design, Space
from studio.making.shop import ShopState
from studio.people.models import User
from studio.pricing.money import to_minor
from studio.pricing.rate_book import RateBook
from studio.pricing.terms import Terms
from studio.problem import Refused
from studio.workshop.books import book_of, current_book, current_shop
from studio.workshop.models import RateBookRevision

__all__ = [
    "Stale",
    "Surroundings",
    "brief_of",
    "design_of",
    "estimate_option",
    "note_change",
    "reprice",
    "reprice_space",
    "save_design",
]


class Stale(Exception):
    """Somebody else changed the option since the page was read; `option` is as it stands now."""

    def __init__(self, option: Option) -> None:
        self.option = option
        super().__init__(f"option {option.letter} is at revision {option.revision}")


@dataclass(frozen=True)
class Surroundings:
    """What the options of a commission share: the space, how its lengths were typed, the terms."""

    space: Space
    terms: Terms
    typed: Mapping[str, str]


def design_of(option: Option) -> Design:
    return parse(Design, option.design)


def brief_of(option: Option) -> Brief:
    commission = option.commission
    return Brief(
        title=commission.title,
        design=design_of(option),
        space=parse(Space, commission.space.document),
        terms=parse(Terms, commission.terms),
    )


def estimate_option(option: Option, as_of: date) -> Estimate:
    """The option at the rates under which it was saved, with the workshop as it stands. Raises Refused."""
    return estimate(brief_of(option), book_of(option.rate_book), current_shop(), as_of)


def save_design(
    option: Option,
    design: Design,
    revision: int,
    by: User | None,
    as_of: date,
    around: Surroundings | None = None,
    back_to: int | None = None,
) -> Estimate:
    """Save a change of an option, and of what its commission's options share, at the rates of `as_of`.

    Decides first: a design without a price raises Refused and nothing is saved. Raises Stale when the option
    is no longer at `revision`.
    """
    rates, book = current_book(as_of)
    before = brief_of(option)
    brief = replace(before, design=design)
    if around:
        brief = replace(brief, space=around.space, terms=around.terms)
    found = estimate(_in_currency(brief, book), book, current_shop(), as_of)
    with transaction.atomic():
        locked = Option.objects.select_for_update().get(pk=option.pk)
        if locked.revision != revision:
            raise Stale(locked)
        if design != before.design:
            note_change(option, design, by, back_to)
        if around and (around.space, around.terms) != (before.space, before.terms):
            _save_around(option.commission, around)
            _reprice_others(option, around, rates, book, as_of)
        option.design, option.revision = dump(design), revision + (brief != before)
        set_figures(option, found, rates)
        option.save()
    return found


def reprice(option: Option, as_of: date) -> None:
    """Fill an option's figures in at today's rates; none while it cannot be priced. Not saved."""
    rates, book = current_book(as_of)
    _fill(option, brief_of(option), rates, book, current_shop(), as_of)


def reprice_space(space: SpaceRow, as_of: date) -> None:
    """A space was measured or described anew: the figures of all options in it follow."""
    options = Option.objects.select_for_update(of=("self",)).filter(commission__space=space)
    with transaction.atomic():
        for option in options.select_related("commission__space", "rate_book"):
            reprice(option, as_of)
            option.revision += 1
            option.save()


def note_change(option: Option, design: Design, by: User | None, back_to: int | None = None) -> None:
    last = option.changes.order_by("-sequence").values_list("sequence", flat=True).first() or 0
    OptionChange.objects.create(option=option, sequence=last + 1, design=dump(design), by=by, back_to=back_to)


def set_figures(option: Option, found: Estimate | None, rates: RateBookRevision) -> None:
    """The columns that lists show, from an estimate or, without one, empty."""
    option.rate_book, option.currency = rates, rates.currency
    option.net_minor = option.gross_minor = option.ready_on = None
    option.digest = ""
    if found:
        option.net_minor = to_minor(found.price.net, rates.currency)
        option.gross_minor = to_minor(found.price.gross, rates.currency)
        option.ready_on, option.digest = found.dates.ready_on, found.digest


def _in_currency(brief: Brief, book: RateBook) -> Brief:
    """A commission from before the studio changed its currency is quoted in the new one."""
    return replace(brief, terms=replace(brief.terms, currency=book.currency))


def _save_around(commission: Commission, around: Surroundings) -> None:
    commission.terms = dump(around.terms)
    commission.save(update_fields=["terms"])
    space = commission.space
    space.document, space.typed = dump(around.space), dict(around.typed)
    space.save(update_fields=["document", "typed"])


def _reprice_others(
    option: Option, around: Surroundings, rates: RateBookRevision, book: RateBook, as_of: date
) -> None:
    """The space and the terms belong to all options: their figures follow, and their pages are stale."""
    shop = current_shop()
    for other in option.commission.options.exclude(pk=option.pk):
        brief = Brief(
            title=option.commission.title, design=design_of(other), space=around.space, terms=around.terms
        )
        _fill(other, brief, rates, book, shop, as_of)
        other.revision += 1
        other.save()


def _fill(
    option: Option, brief: Brief, rates: RateBookRevision, book: RateBook, shop: ShopState, as_of: date
) -> None:
    found = None
    with suppress(Refused):  # the option's page says why; the list shows no price
        found = estimate(_in_currency(brief, book), book, shop, as_of)
    set_figures(option, found, rates)
