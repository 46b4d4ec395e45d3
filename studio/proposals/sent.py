"""An option as it is sent: its estimate with the whole range of its price, and what a client reads of it."""

from datetime import date

from studio.commissions.estimating import estimate_option
from studio.commissions.models import Option
from studio.commissions.ranges import with_whole_range, worked_on
from studio.commissions.words import spoken_paragraph
from studio.estimate.result import PriceRange
from studio.problem import Problem, Refused
from studio.proposals.freeze import OptionSent
from studio.voice import said
from studio.workshop.books import book_of, voice_of
from studio.workshop.models import Studio

__all__ = ["Ranging", "sent_of"]


class Ranging(Refused):
    """The range of an option is not known whole yet: a part more of it is `known` than before."""

    def __init__(self, letter: str, known: PriceRange) -> None:
        self.letter, self.known = letter, known
        reason = said("the range of option {} is not worked out yet", letter)
        super().__init__(Problem("letters", reason, "ask again for the next part"))


def sent_of(option: Option, studio: Studio, today: date, wait: bool) -> OptionSent:
    """Raises Refused for an option without a price; Ranging where its range is not known whole and nobody is
    to `wait` for it."""
    try:
        found = estimate_option(option, today)
        found = with_whole_range(option, found, today) if wait else worked_on(option, found, today)
    except Refused as refused:
        why = refused.problems[0]
        raise Refused.because(
            "letters",
            said("option {} has no price: {}", option.letter, why.reason),
            said("{}, or leave option {} out", why.remedy, option.letter),
        ) from None
    if (known := found.price_range) and known.priced < known.fits:
        raise Ranging(option.letter, known)
    book = book_of(option.rate_book)
    return OptionSent(
        letter=option.letter,
        estimate=found,
        colours={filament.name: filament.colour for filament in book.filaments},
        paragraph=spoken_paragraph(found.brief, found.bill.fit, voice_of(studio)),
        book=book,
        rate_book_sha256=option.rate_book.sha256,
    )
