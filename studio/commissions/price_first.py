"""Which price a client reads first: one rule for every list and page."""

from collections.abc import Iterable

from studio.commissions.models import Commission, Option
from studio.pricing.terms import Terms
from studio.stored.kinds import SPACE, TERMS
from studio.voice import Voice
from studio.workshop.books import voice_of
from studio.workshop.models import Studio

__all__ = ["is_measured", "main_price", "price_text", "reads_net_first", "sold_price", "tax_words"]


def reads_net_first(commission: Commission) -> bool:
    """As the commission's terms have it."""
    return not (TERMS.readable(commission.terms) or Terms()).gross_first


def tax_words(commission: Commission, options: Iterable[Option]) -> str:
    """What stands beside the options' prices; nothing where there is no tax in any."""
    if any(option.net_minor != option.gross_minor for option in options):
        return "without tax" if reads_net_first(commission) else "with tax"
    return ""


def sold_price(commission: Commission, letter: str, gross_minor: int) -> tuple[int, str]:
    """What was sold at a gross, in minor units as the client reads it, and what stands beside it: as its
    option is named, whose figures stay while it is closed; the gross where they are others by now, of which
    nothing is said where there is no tax."""
    sold = [each for each in commission.options.all() if each.letter == letter and each.net_minor is not None]
    same = [each for each in sold if each.gross_minor == gross_minor]
    words = tax_words(commission, same or sold)
    if same and words == "without tax":
        return same[0].net_minor or 0, words
    return gross_minor, words if same or (sold and not words) else "with tax"


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
