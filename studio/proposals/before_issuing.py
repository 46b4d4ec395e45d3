"""What is still missing before a proposal may be issued, each with the page where it is given."""

from collections.abc import Iterable, Iterator
from datetime import date

from django.urls import reverse

from studio.commissions.models import Commission, Option
from studio.forms import Linked
from studio.pricing.rate_book import RateBook
from studio.stored.kinds import TERMS
from studio.voice import day, said
from studio.workshop.books import book_if_readable, current_revision
from studio.workshop.models import RateBookRevision, Studio
from studio.workshop.rates_pages import RATES_PAGES, examples_in
from studio.workshop.set_on import examples

__all__ = ["missing"]


def missing(
    commission: Commission, options: Iterable[Option], studio: Studio, today: date
) -> tuple[Linked, ...]:
    """Example rates, a studio without a name, a way that nobody measured: a client would be promised a price
    that stands on nothing. Options that have no price at all say so elsewhere."""
    chosen = list(options)
    return (*_name(studio), *_rates(chosen, today), *_distance(commission, chosen))


def _name(studio: Studio) -> Iterator[Linked]:
    if studio.name.strip() in ("", Studio._meta.get_field("name").get_default()):
        reason = "the studio has no name yet, which stands at the head of a proposal"
        yield Linked("studio", reason, "say what it is called", reverse("workshop"), "Name the studio")


def _rates(options: Iterable[Option], today: date) -> Iterator[Linked]:
    """By the book of each option; where today's has none any more, the option is to be brought to it."""
    left, newest = dict[str, Linked](), current_revision(today)
    for option in options:
        book = book_if_readable(option.rate_book)
        if book is None or not examples(book):
            continue
        now = book_if_readable(newest) or book
        found = _example_pages(now) if examples(now) else [_older(option, newest)]
        left |= {each.address: each for each in found}
    yield from left.values()


def _example_pages(book: RateBook) -> Iterator[Linked]:
    counts = {
        (page.title, reverse("workshop-rates", args=(slug,))): len(examples_in(page, book))
        for slug, page in RATES_PAGES.items()
    }
    counts["Calendar", reverse("workshop-calendar")] = int("hours" in examples(book))
    for (title, address), count in counts.items():
        if count:
            reason = "an example rate is" if count == 1 else f"{count} example rates are"
            remedy = f"set what is yours under “{title}”, or say there that it is"
            yield Linked("rates", f"{reason} in the price", remedy, address, title)


def _older(option: Option, newest: RateBookRevision) -> Linked:
    reason = f"option {option.letter} is priced by older rates, examples among them"
    address = reverse("option-rates-compare", args=(option.commission.public_id, option.letter))
    remedy = said("bring it to those that hold from {}", day(newest.effective_from))
    return Linked("rates", reason, remedy, address, "Compare the rates")


def _distance(commission: Commission, options: list[Option]) -> Iterator[Linked]:
    """Terms are shared by all options of a commission."""
    terms = TERMS.readable(commission.terms) if options else None
    if terms and terms.travels and terms.distance_km is None:
        what = "bringing the panel" if terms.by_van else "measuring"
        address = reverse("option", args=(commission.public_id, options[0].letter))
        reason = f"the way for {what} is not in the price, since no distance is given"
        remedy = "say how far it is, under “Price and delivery”"
        yield Linked("terms.distance_km", reason, remedy, address, "Say how far")
