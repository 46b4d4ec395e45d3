"""By which rates an option is priced, in words."""

from babel.dates import format_date

from studio.commissions.closed import is_closed
from studio.commissions.models import Option
from studio.workshop.books import LONG_AGO
from studio.workshop.house_style import HouseStyle
from studio.workshop.models import RateBookRevision

__all__ = ["old_rates", "rates_words"]


def old_rates(option: Option, newest: RateBookRevision, style: HouseStyle) -> str:
    """By which rates an option is priced when they are not the newest; what was sold stays at its own."""
    if option.rate_book_id == newest.pk or is_closed(option.commission):
        return ""
    return rates_words(option.rate_book, style)


def rates_words(revision: RateBookRevision, style: HouseStyle) -> str:
    if revision.effective_from == LONG_AGO:
        return "example rates"
    return f"rates of {format_date(revision.effective_from, 'medium', locale=style.locale)}"
