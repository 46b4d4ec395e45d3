"""What is left of the margin when making goes worse than planned."""

from dataclasses import dataclass
from decimal import Decimal
from math import exp, lgamma, log, sqrt
from statistics import NormalDist
from typing import Literal

from studio.money import percent_of, round_money
from studio.pricing.sheet import PriceSheet

__all__ = ["WORST", "Left", "Spreads", "margins_left"]

WORST = 0.8
"""Eight of ten cases are no worse."""

REACH = 12

Cause = Literal["printing", "labour", "failures", "all three"]


@dataclass(frozen=True, slots=True)
class Spreads:
    """`printing` and `labour` are sigmas of log-normal factors with mean 1 on print minutes and on people's
    minutes. Expected failures are `failed_runs`, counted by a Poisson distribution."""

    printing: float
    labour: float
    failed_runs: float


@dataclass(frozen=True, slots=True)
class Left:
    """What one cause costs more in the worst two of ten cases, what margin that leaves at the same price, and
    its percent of net."""

    cause: Cause
    more: Decimal
    margin: Decimal
    percent: Decimal


def margins_left(sheet: PriceSheet, spreads: Spreads) -> tuple[Left, ...]:
    """Each cause alone, then all three together.

    Printing longer costs machine hours; labour, but for quoting, which is over, costs wages and, since people
    are then not free for other jobs, overhead by the hour; failures cost what expected reprints cost, per
    failed run. All three at once in their worst two of ten is rarer than two in ten: causes that know nothing
    of each other add up like the sides of a right angle (root of the sum of squares).
    """
    amounts = sheet.by_group
    shares = amounts.get("shares", Decimal(0))
    printing = (factor(spreads.printing) - 1) * float(amounts.get("machine", 0))
    quoting = sum((line.amount for line in sheet.lines if line.code == "quoting"), Decimal(0))
    work = float(amounts.get("labour", 0) + amounts.get("overhead", 0) - quoting)
    labour = (factor(spreads.labour) - 1) * work
    failing = _more_failures(spreads.failed_runs) * float(amounts.get("reprints", 0))
    together = (printing**2 + labour**2 + failing**2) ** 0.5
    kept = sheet.net - sheet.cost - shares

    def left(cause: Cause, more: float) -> Left:
        amount = round_money(Decimal(str(round(max(more, 0.0), 6))), sheet.currency)
        margin = kept - amount
        return Left(cause, amount, margin, percent_of(margin, sheet.net))

    return (
        left("printing", printing),
        left("labour", labour),
        left("failures", failing),
        left("all three", together),
    )


def factor(sigma: float, share: float = WORST) -> float:
    """The factor that a share of the cases does not pass: of a log-normal one with mean 1, so that the
    price's own minutes are its expectation: exp(sigma z - sigma^2 / 2) at z of the share. Beyond a sigma of
    z that falls again, since ever fewer cases carry ever more of the mean; more spread must not look like
    less risk, so it stays there."""
    z = NormalDist().inv_cdf(share)
    sigma = min(sigma, z)
    return exp(sigma * z - sigma**2 / 2)


def _more_failures(expected: float) -> float:
    """By how much the failures of the worst two of ten cases pass those expected, as a share of these."""
    if expected <= 0:
        return 0.0
    return max(0.0, (poisson_quantile(expected) - expected) / expected)


def poisson_quantile(expected: float) -> int:
    """The least count that at least WORST of all cases do not pass. Counts more than REACH standard
    deviations below the mean have no chance that would show."""
    count = max(0, int(expected - REACH * sqrt(expected) - REACH))
    total = _chance(count, expected)
    while total < WORST:
        count += 1
        total += _chance(count, expected)
    return count


def _chance(count: int, expected: float) -> float:
    """Of a Poisson count; by logarithms, for exp(-expected) is nothing where many are expected."""
    return exp(count * log(expected) - expected - lgamma(count + 1))
