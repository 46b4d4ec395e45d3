"""Which price a client reads first: one rule for every list and page."""

from studio.commissions.models import Commission, Option
from studio.pricing.terms import Terms
from studio.stored.kinds import SPACE, TERMS
from studio.voice import Voice
from studio.workshop.books import voice_of
from studio.workshop.models import Studio

__all__ = ["is_measured", "main_price", "price_text", "reads_net_first", "tax_words"]


def reads_net_first(commission: Commission) -> bool:
    """Businesses read prices without tax first, everybody else with tax."""
    return (TERMS.readable(commission.terms) or Terms()).client_kind == "business"


def tax_words(commission: Commission) -> str:
    return "without tax" if reads_net_first(commission) else "with tax"


def is_measured(commission: Commission) -> bool:
    """Not, where the space cannot be read."""
    space = SPACE.readable(commission.space.document)
    return bool(space and space.measured)


def main_price(option: Option, studio: Studio) -> str:
    """The price that is shown first, in the currency of the option's rates."""
    return _about(option, voice_of(studio)) or "no price yet"


def price_text(option: Option, voice: Voice) -> str:
    """The same for a list in which nothing else says that it is a range; empty without a price."""
    price = _about(option, voice)
    return f"{price} (unmeasured)" if price and not is_measured(option.commission) else price


def _about(option: Option, voice: Voice) -> str:
    """Without a measure a price is not more than about right: the option's own page has its range."""
    minor = option.net_minor if reads_net_first(option.commission) else option.gross_minor
    if minor is None:
        return ""
    money = voice.using(option.currency).minor(minor)
    return money if is_measured(option.commission) else f"about {money}"
