"""The panel that meets a budget: what to give up, the least first."""

from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated

import numpy as np
from numpy.typing import NDArray
from pydantic import Field

from studio.document import document
from studio.estimate.brief import Brief
from studio.estimate.moves import MAY_MOVE, Way, levels_of
from studio.estimate.priced import Priced
from studio.estimate.tried import Basis, Code, Finding, Pricer, Tried, applied
from studio.problem import Refused

__all__ = [
    "FEW", "MOST_FINDINGS", "MOST_PRICED", "Budget", "Code", "Finding", "Found",
    "given_up", "looking", "search",
]  # fmt: skip

MOST_FINDINGS = 6
MOST_PRICED = 120
"""Combinations that are made and priced in one search, about."""
FEW = 60
"""Of so many combinations none is passed over for its likely price: what is not found is not there, and the
first that is found is the one that gives up least."""
NEAR, UNSURE = 1.04, 1.08
"""A combination is looked at where its likely price comes within 4 % of the budget. By random briefs,
no source: likely prices are hardly ever further out, but they may be. Further where a number of cells
was not priced yet."""
WIDE = 1.1
"""How much dearer they are likely to be that are looked at then: another number of sections may save that."""
MOST_HOPEFUL, HOPEFUL = 30, 1.12
"""While nothing meets the budget: the cheapest so many whose likely price comes so near."""
CHEAPEST_TRIED = 3
OTHERS_TRIED, ENOUGH_PRICED = 3, 12
"""Other ways to meet it are tried three times, or more where little was priced before."""
EVEN: tuple[Way, ...] = ("cell side", "size", "depth")
"""Ways of which the largest level tells about what those below it save."""


@document
class Budget:
    """What the client has, net or gross, and what may move; all else is fixed."""

    figure: Annotated[Decimal, Field(gt=0, le=10**9, decimal_places=4)]
    basis: Basis = "gross"
    may: Annotated[tuple[Way, ...], Field(min_length=1, max_length=len(MAY_MOVE))] = MAY_MOVE


@dataclass(frozen=True, eq=False)
class Found:
    """`findings` meet the budget, the least given up first, each giving up other things than the others;
    where there are none, `nearest` is the cheapest that was found. `as_it_is`: the option meets the budget
    already. `looked` of `combinations` were looked at: only where it was all of them, what was not found is
    not there. `priced` counts the prices that were computed. `over`: nothing more is looked at."""

    now: Decimal
    as_it_is: bool
    findings: tuple[Finding, ...]
    nearest: Finding | None
    priced: int
    looked: int
    combinations: int
    over: bool

    @property
    def everywhere(self) -> bool:
        return self.looked == self.combinations


def search(brief: Brief, budget: Budget, pricer: Pricer) -> Found:
    """The last of `looking`."""
    return deque(looking(brief, budget, pricer), maxlen=1).pop()


def looking(brief: Brief, budget: Budget, pricer: Pricer) -> Iterator[Found]:
    """Up to six designs that meet the budget: what is known after each price, the answer last. `pricer`
    prices a brief, keeping what it has made; it raises Refused for what cannot be made, which is passed over.

    A few levels of each way are priced alone; what combinations are likely to cost follows (`Likely`). Those
    that come near the budget are priced by what they give up, the least first, until none is left that gives
    up less than one that meets it. Other sets of ways that meet it follow, larger sets of the same left out.
    While nothing meets it the cheapest are looked at, and all of them where they are few. What gives nothing
    up beside a smaller combination is passed over, as is what would leave only the lattice of an option that
    has infills. Deterministic: it stops after a number of prices, not after a time. Raises Refused where the
    option itself cannot be priced.
    """
    tried = Tried(brief, budget.figure, budget.basis, budget.may, pricer)
    yield _found(tried)
    for row in () if tried.meets(0) else _rows(tried):
        tried.look(row)
        yield _found(tried)
    yield _found(tried, over=True)


def given_up(brief: Brief, priced: Priced, code: Code) -> Brief:
    """The brief that a combination makes of an option: what a proposal's code stands for. Raises Refused
    for a code that this option does not have."""
    for way, number in code:
        levels = levels_of(way, brief, priced.composition) if way in MAY_MOVE else ()
        if not 1 <= number <= len(levels) or sum(other == way for other, _ in code) > 1:
            reason = "the option has changed since this was found"
            raise Refused.because("code", reason, "look for the budget again")
    return applied(brief, [levels_of(way, brief, priced.composition)[n - 1] for way, n in code])


def _found(tried: Tried, over: bool = False) -> Found:
    as_it_is = tried.meets(0)
    findings = [] if as_it_is else tried.findings()[:MOST_FINDINGS]
    return Found(
        now=tried.now.price,
        as_it_is=as_it_is,
        findings=tuple(made for row in findings if (made := tried.made[row])),
        nearest=None if as_it_is or findings else tried.nearest(),
        priced=tried.priced,
        looked=len(tried.made),
        combinations=len(tried.fresh),
        over=over,
    )


def _rows(tried: Tried) -> Iterator[int]:
    """What to look at, one after the other; each has been looked at when the next one is asked for."""
    yield from _alone(tried)
    yield from _least(tried)
    yield from _cheapest(tried)
    yield from _wider(tried)
    yield from _others(tried)


def _alone(tried: Tried) -> Iterator[int]:
    """Levels of one way alone, of those that give up less than what meets the budget already."""
    for way in sorted(tried.ways, key=lambda way: tried.levels[way][0].loss):
        least = tried.least_loss()
        numbers = [n for n, level in enumerate(tried.levels[way], 1) if level.loss < least]
        if way == "cell side" and len(numbers) > 2:
            yield tried.alone(way, numbers[(len(numbers) - 1) // 2])
        if way in EVEN:
            yield from _down(tried, way, numbers)
        else:
            yield from (tried.alone(way, number) for number in numbers)


def _down(tried: Tried, way: Way, numbers: Sequence[int]) -> Iterator[int]:
    """The largest level that can be made."""
    for number in reversed(numbers):
        yield (row := tried.alone(way, number))
        if tried.made[row]:
            return


def _least(tried: Tried) -> Iterator[int]:
    """What gives up less than all that meets the budget and may meet it too."""
    while tried.priced < MOST_PRICED and (row := _next_least(tried)) is not None:
        yield row


def _next_least(tried: Tried) -> int | None:
    """A level that comes in whole cells is priced alone before any combination with it."""
    prices, least = tried.likely.prices(), tried.least_loss()
    if least < float("inf"):
        near = np.where(tried.unsure(), UNSURE, NEAR) * tried.limit
        likely = (prices <= near) | (len(prices) <= FEW)
        row = _first(tried, tried.fresh & (tried.likely.loss < least) & likely)
    else:
        row = _first(tried, tried.fresh & (prices <= tried.limit))
        row = _likeliest(tried, NEAR * NEAR * tried.limit) if row is None else row
    return row if row is None else next(iter(tried.fresh_alone(row)), row)


def _first(tried: Tried, wanted: NDArray[np.bool_]) -> int | None:
    """Of these the one that gives up least."""
    rows = np.flatnonzero(wanted)
    return int(rows[np.argmin(tried.likely.loss[rows])]) if len(rows) else None


def _likeliest(tried: Tried, most: float) -> int | None:
    """The one with the least likely price that was not looked at, if that is no more than this."""
    prices = np.where(tried.fresh, tried.likely.prices(), np.inf)
    row = int(np.argmin(prices))
    return row if prices[row] <= most else None


def _cheapest(tried: Tried) -> Iterator[int]:
    """While nothing meets the budget, from the cheapest end."""
    few = len(tried.fresh) <= FEW
    for count in range(len(tried.fresh) if few else MOST_HOPEFUL):
        if tried.findings():
            yield from _least(tried)
            return
        most = np.finfo(float).max if few or count < CHEAPEST_TRIED else HOPEFUL * tried.limit
        if (row := _likeliest(tried, most)) is None:
            return
        yield row


def _wider(tried: Tried) -> Iterator[int]:
    """What gives up less and is likely to cost somewhat more, the cheapest first: as many again as half of
    what was priced."""
    for _ in range(tried.priced // 2):
        prices, least = tried.likely.prices(), tried.least_loss()
        less = tried.fresh & (tried.likely.loss < least) & (prices <= WIDE * tried.limit)
        if not tried.findings() or not less.any():
            return
        yield int(np.argmin(np.where(less, prices, np.inf)))


def _others(tried: Tried) -> Iterator[int]:
    """Other sets of ways, the least given up first; and for each finding what takes one way less."""
    prices = tried.likely.prices()
    for _ in range(max(OTHERS_TRIED, ENOUGH_PRICED - tried.priced)):
        found = tried.findings()
        other = tried.fresh & ~tried.larger(found) & (prices <= tried.limit)
        if not found or len(found) >= MOST_FINDINGS or (row := _first(tried, other)) is None:
            break
        yield row
        prices = tried.likely.prices()
    for row in tried.findings()[:MOST_FINDINGS]:
        for fewer in tried.without(row):
            if tried.fresh[fewer] and prices[fewer] <= NEAR * NEAR * tried.limit:
                yield fewer
