"""Which rates are the studio's own, since when, and which are still examples. Pure."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from studio.light.catalogue import KINDS
from studio.pricing.rate_book import RateBook

__all__ = ["examples", "rates_of", "with_days"]

PRICE = (
    "basis", "basis_percent", "referral_percent", "card_percent", "minimum_charge", "rounding_step",
    "rounding_way", "rounding_ending",
)  # fmt: skip
"""What turns cost into price: one rate, named "price"."""
SINGLE = (
    "energy_per_kwh", "overhead_per_hour", "quoting_minutes", "quotes_won_percent", "spares_percent",
    "failures_per_hour", "tax", "deposits", "tolerances", "hours",
    "hanger_load_g", "hanger_safety_factor", "uncertainty",
)  # fmt: skip


def rates_of(book: RateBook) -> Mapping[str, object]:
    """Every rate by the key under which RateBook.set_on knows it."""
    rows: dict[str, object] = {f"filaments.{row.name}": row for row in book.filaments}
    rows |= {f"printers.{row.name}": row for row in book.printers}
    rows |= {f"roles.{role}": rate for role, rate in book.roles.items()}
    rows |= {f"operations.{row.code}": row for row in book.operations}
    rows |= {f"bought.{row.code}": row for row in book.bought}
    rows |= {f"hangers.{row.code}": row for row in book.hangers}
    rows |= {f"feet.{row.code}": row for row in book.feet}
    rows |= {f"carrier.{row.text}": row for row in book.carrier}
    for kind in KINDS:
        rows |= {f"lighting.{kind}.{row.code}": row for row in getattr(book.lighting, kind)}
    if book.lighting.strips:
        rows["lighting.rules"] = book.lighting.rules, book.lighting.softens
    rows |= {name: getattr(book, name) for name in SINGLE}
    return rows | {"price": tuple(getattr(book, name) for name in PRICE)}


def with_days(book: RateBook, before: RateBook, on: date, confirmed: frozenset[str]) -> RateBook:
    """`book` with the day on which each rate was set: `on` for new, changed and confirmed ones, as before
    for the others; examples have no day."""
    old = rates_of(before)
    days = {}
    for key, rate in rates_of(book).items():
        changed = key not in old or old[key] != rate
        if changed or key in confirmed:
            days[key] = on if changed else before.set_on.get(key, on)
        elif key in before.set_on:
            days[key] = before.set_on[key]
    return replace(book, set_on=days)


def examples(book: RateBook) -> tuple[str, ...]:
    """Keys of the rates that the studio has not set yet."""
    return tuple(key for key in rates_of(book) if key not in book.set_on)
