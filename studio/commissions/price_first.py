"""Which price a client reads first: one rule for every list and page."""

from studio.commissions.models import Commission, Option
from studio.pricing.terms import Terms
from studio.stored.kinds import TERMS
from studio.workshop.books import voice_of
from studio.workshop.models import Studio

__all__ = ["first_minor", "main_price", "reads_net_first", "tax_words"]


def reads_net_first(commission: Commission) -> bool:
    """Businesses read prices without tax first, everybody else with tax."""
    return (TERMS.readable(commission.terms) or Terms()).client_kind == "business"


def tax_words(commission: Commission) -> str:
    return "without tax" if reads_net_first(commission) else "with tax"


def first_minor(option: Option) -> int | None:
    """That price in minor units; None without a price."""
    return option.net_minor if reads_net_first(option.commission) else option.gross_minor


def main_price(option: Option, studio: Studio) -> str:
    """The price that is shown first, in the currency of the option's rates."""
    minor = first_minor(option)
    return "no price yet" if minor is None else voice_of(studio, option.currency).minor(minor)
