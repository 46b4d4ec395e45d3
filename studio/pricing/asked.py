"""From cost to the price that is asked: margin or markup, minimum charge, discount."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal, assert_never

from studio.money import round_money
from studio.pricing.check import shares_percent
from studio.pricing.rate_book import RateBook
from studio.pricing.terms import Discount, Terms
from studio.problem import Refused

__all__ = ["Basis", "Asked", "asked", "target_price"]

Basis = Literal["margin", "markup"]
LARGEST_PRICE = 10**12
"""No panel costs as much, in any currency; more is a slip in a rate, and too much for the database."""


@dataclass(frozen=True, slots=True)
class Asked:
    """`target` carries the wanted margin; `top_up` lifts it to the minimum charge; `off` is the discount on
    both. The discount is the studio's own decision, so it may go below the minimum charge."""

    target: Decimal
    top_up: Decimal
    off: Decimal

    @property
    def asked(self) -> Decimal:
        """Net before rounding."""
        return self.target + self.top_up - self.off


def target_price(cost: Decimal, basis: Basis, basis_percent: Decimal, shares_percent: Decimal) -> Decimal:
    """Net price over all that takes a share of it, not rounded. Margin is a share of the price:
    cost ÷ (1 − margin − shares); markup is a share of cost: cost × (1 + markup) ÷ (1 − shares)."""
    match basis:
        case "margin":
            return cost * 100 / (100 - basis_percent - shares_percent)
        case "markup":
            return cost * (100 + basis_percent) / (100 - shares_percent)
        case _:
            assert_never(basis)


def asked(cost: Decimal, book: RateBook, terms: Terms) -> Asked:
    """Raises Refused for a price beyond all panels, or a discount that leaves nothing."""
    wanted = target_price(cost, book.basis, book.basis_percent, shares_percent(book, terms))
    if wanted > LARGEST_PRICE:
        raise Refused.because(
            "rate_book",
            f"at these rates the panel would cost {wanted:.0e} {book.currency}",
            f"rates and a margin that keep a panel below {LARGEST_PRICE:.0e} {book.currency}",
        )
    target = round_money(wanted, book.currency)
    top_up = max(round_money(book.minimum_charge, book.currency) - target, Decimal(0))
    return Asked(target, top_up, _off(terms.discount, target + top_up, book.currency))


def _off(discount: Discount | None, price: Decimal, currency: str) -> Decimal:
    if discount is None:
        return Decimal(0)
    match discount.kind:
        case "percent":
            off = round_money(price * discount.value / 100, currency)
        case "amount":
            off = round_money(discount.value, currency)
        case _:
            assert_never(discount.kind)
    if off and off >= price:
        raise Refused.because(
            "brief.terms.discount.value",
            f"the discount of {off} {currency} leaves nothing of the price of {price} {currency}",
            f"give less than {price} {currency}",
        )
    return off
