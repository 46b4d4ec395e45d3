"""A rate book in another currency: a new one, for no amount means the same in another. Pure."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

from studio.light.catalogue import KINDS, Lighting
from studio.money import known_currency
from studio.pricing.rate_book import RateBook
from studio.problem import Refused
from studio.workshop.set_on import rates_of

__all__ = ["in_currency"]

NONE = Decimal(0)


def in_currency(book: RateBook, currency: str) -> RateBook:
    """What `book` says of minutes, grams, shares and hours, with no amount at all: spools have no price, so
    nothing is priced before they get one, and every rate with an amount in it is an example until it is set.
    Raises Refused for no currency in use, or the same."""
    if not known_currency(currency):
        remedy = "give a currency’s three letters, such as EUR"
        raise Refused.because("new_currency", f"“{currency[:20]}” is no currency in use", remedy)
    if currency == book.currency:
        raise Refused.because("new_currency", f"these rates are in {currency} already", "give another one")
    new = replace(
        book,
        currency=currency,
        filaments=tuple(replace(row, price_per_spool=None) for row in book.filaments),
        printers=tuple(
            replace(row, purchase=NONE, scrap_value=NONE, upkeep_per_hour=NONE) for row in book.printers
        ),
        roles=dict.fromkeys(book.roles, NONE),
        bought=tuple(replace(row, price=NONE) for row in book.bought),
        carrier=tuple(replace(row, price=NONE) for row in book.carrier),
        lighting=_unpriced(book.lighting),
        hangers=tuple(replace(row, price=NONE) for row in book.hangers),
        feet=tuple(replace(row, price=NONE) for row in book.feet),
        energy_per_kwh=NONE,
        overhead_per_hour=NONE,
        day_weight=None,
        minimum_charge=NONE,
        rounding_step=NONE,
        rounding_ending=NONE,
    )
    was, now = rates_of(book), rates_of(new)
    return replace(new, set_on={key: day for key, day in book.set_on.items() if was.get(key) == now.get(key)})


def _unpriced(lighting: Lighting) -> Lighting:
    rows: dict[str, Any] = {
        kind: tuple(replace(row, price=NONE) for row in getattr(lighting, kind)) for kind in KINDS
    }
    return replace(lighting, **rows)
