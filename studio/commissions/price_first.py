"""Which price a client reads first: one rule for every list and page."""

from studio.commissions.models import Commission, Option

__all__ = ["first_minor", "reads_net_first", "tax_words"]


def reads_net_first(commission: Commission) -> bool:
    """Businesses read prices without tax first, everybody else with tax."""
    return commission.terms.get("client_kind") == "business"


def tax_words(commission: Commission) -> str:
    return "without tax" if reads_net_first(commission) else "with tax"


def first_minor(option: Option) -> int | None:
    """That price in minor units; None without a price."""
    return option.net_minor if reads_net_first(option.commission) else option.gross_minor
