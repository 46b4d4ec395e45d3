"""An option's price in a list, where there is no room for its range."""

from studio.commissions.models import Commission, Option
from studio.commissions.price_first import first_minor
from studio.stored.kinds import SPACE
from studio.voice import Voice

__all__ = ["is_measured", "price_text"]


def is_measured(commission: Commission) -> bool:
    """Not, where the space cannot be read."""
    space = SPACE.readable(commission.space.document)
    return bool(space and space.measured)


def price_text(option: Option, commission: Commission, voice: Voice) -> str:
    """Empty without a price. Without a measure a price is not more than about right: the option's own page
    has its range."""
    minor = first_minor(option)
    if minor is None:
        return ""
    money = voice.using(option.currency).minor(minor)
    return money if is_measured(commission) else f"about {money} (unmeasured)"
