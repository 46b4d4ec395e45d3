"""The deposit plan in money: parts that add up in gross, net and tax, in every tax category."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from studio.pricing.money import split
from studio.pricing.rate_book import RateBook
from studio.pricing.sheet import Deposited, TaxLine

__all__ = ["deposits"]


def deposits(taxes: Sequence[TaxLine], book: RateBook) -> tuple[Deposited, ...]:
    """Gross by the plan's percentages and the tax in proportion to it, both by largest remainder: the parts
    add up to gross, tax and net, and none has more tax than gross. Net and tax of each part are then split
    over the tax categories."""
    net = sum((line.net for line in taxes), Decimal(0))
    tax = sum((line.tax for line in taxes), Decimal(0))
    gross = split(net + tax, [part.percent for part in book.deposits], book.currency)
    shares = split(tax, gross, book.currency)
    nets = [whole - share for whole, share in zip(gross, shares, strict=True)]
    net_parts = _dealt(nets, [line.net for line in taxes], book.currency)
    tax_parts = _dealt(shares, [line.tax for line in taxes], book.currency)
    return tuple(
        Deposited(part.text, part.percent, whole, whole - share, share, _parts(taxes, ours, theirs))
        for part, whole, share, ours, theirs in zip(
            book.deposits, gross, shares, net_parts, tax_parts, strict=True
        )
    )


def _parts(
    taxes: Sequence[TaxLine], nets: Sequence[Decimal], shares: Sequence[Decimal]
) -> tuple[TaxLine, ...]:
    return tuple(
        TaxLine(line.code, line.text, line.percent, net, share)
        for line, net, share in zip(taxes, nets, shares, strict=True)
    )


def _dealt(
    rows: Sequence[Decimal], columns: Sequence[Decimal], currency: str
) -> Iterator[tuple[Decimal, ...]]:
    """A table with the sums of `rows` and `columns`, which have the same total and nothing below 0.

    Each row is split by what is left of the columns. A part is never more than what is left of its column,
    since a row is never more than what is left of all; so the last row takes exactly what is left.
    """
    left = list(columns)
    for row in rows:
        parts = split(row, left, currency)
        left = [rest - part for rest, part in zip(left, parts, strict=True)]
        yield parts
