"""An option's price in a list, where there is no room for its range."""

from studio.commissions.models import Commission, Option
from studio.commissions.price_first import first_minor
from studio.pricing.format import format_money
from studio.pricing.money import from_minor
from studio.stored.kinds import SPACE

__all__ = ["is_measured", "money_text", "price_text"]


def is_measured(commission: Commission) -> bool:
    """Not, where the space cannot be read."""
    space = SPACE.readable(commission.space.document)
    return bool(space and space.measured)


def price_text(option: Option, commission: Commission, locale: str) -> str:
    """Empty without a price. Without a measure a price is not more than about right: the option's own page
    has its range."""
    minor = first_minor(option)
    if minor is None:
        return ""
    money = money_text(minor, option.currency, locale)
    return money if is_measured(commission) else f"about {money} (unmeasured)"


def money_text(minor: int, currency: str, locale: str) -> str:
    return format_money(from_minor(minor, currency), currency, locale)
