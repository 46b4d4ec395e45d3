"""From cost to the price that is asked: margin or markup, minimum charge."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal, assert_never

from studio.money import round_money
from studio.pricing.check import shares_percent
from studio.pricing.headings import TEXTS
from studio.pricing.rate_book import Heading, RateBook, TaxCategory
from studio.pricing.terms import Terms
from studio.problem import Refused

__all__ = ["Basis", "Asked", "asked", "target_price"]

Basis = Literal["margin", "markup"]
LARGEST_PRICE = 10**12
"""No panel costs as much, in any currency; more is a slip in a rate, and too much for the database."""


@dataclass(frozen=True, slots=True)
class Asked:
    """Net, before discount and rounding: `target` carries the wanted margin, `top_up` lifts it to the minimum
    charge. `headings` are what they come to by the client's heading."""

    target: Decimal
    top_up: Decimal
    headings: Mapping[Heading, Decimal]


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


def asked(
    costs: Mapping[Heading, Decimal], taxes: Mapping[Heading, TaxCategory], book: RateBook, terms: Terms
) -> Asked:
    """The price of `costs`, what each heading costs. Raises Refused for a price beyond all panels.

    Card fees are taken on gross, so they lie on net × (1 + tax). Every heading is priced by its own cost and
    tax, and their sum solves the rule for the whole by the mean rate of its lines: with n = c ÷ (1 − m −
    s(t)) for each, and s(t) linear in t, the sum of n × (1 − m − s(t)) is the sum of c. So a heading of the
    same cost has the same figure in every option, the panel too: each is rounded once, and the target is
    their sum. Only the minimum charge is the panel's besides.
    """
    exact = {
        heading: target_price(
            cost, book.basis, book.basis_percent, shares_percent(book, terms, taxes[heading].percent)
        )
        for heading, cost in costs.items()
    }
    wanted = sum(exact.values(), Decimal(0))
    if wanted > LARGEST_PRICE:
        raise Refused.because(
            "rate_book",
            f"at these rates the panel would cost {wanted:.0e} {book.currency}",
            f"rates and a margin that keep a panel below {LARGEST_PRICE:.0e} {book.currency}",
        )
    rounded = {heading: round_money(amount, book.currency) for heading, amount in exact.items()}
    target = sum(rounded.values(), Decimal(0))
    top_up = max(round_money(book.minimum_charge, book.currency) - target, Decimal(0))
    asked_for: dict[Heading, Decimal] = {**rounded, "panel": rounded.get("panel", Decimal(0)) + top_up}
    shown = {heading: asked_for[heading] for heading in TEXTS if asked_for.get(heading)}
    return Asked(target, top_up, shown or {"panel": Decimal(0)})
