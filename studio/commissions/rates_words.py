"""By which rates an option is priced, in words."""

from studio.commissions.closed import is_closed
from studio.commissions.models import Option
from studio.voice import Voice
from studio.workshop.books import LONG_AGO
from studio.workshop.models import RateBookRevision

__all__ = ["old_rates", "rates_words"]


def old_rates(option: Option, newest: RateBookRevision, voice: Voice) -> str:
    """By which rates an option is priced when they are not the newest; what was sold stays at its own."""
    if option.rate_book_id == newest.pk or is_closed(option.commission):
        return ""
    return rates_words(option.rate_book, voice)


def rates_words(revision: RateBookRevision, voice: Voice) -> str:
    if revision.effective_from == LONG_AGO:
        return "example rates"
    return f"rates of {voice.short_day(revision.effective_from)}"
