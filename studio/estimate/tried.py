"""The combinations of an option's levels, and what came of those that were looked at."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import reduce
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from studio.estimate.brief import Brief
from studio.estimate.likely import Likely
from studio.estimate.moves import MAY_MOVE, Level, Way, levels_of
from studio.estimate.priced import Priced
from studio.problem import Refused

__all__ = ["Basis", "Code", "Finding", "Pricer", "Tried", "applied"]

Basis = Literal["net", "gross"]
Pricer = Callable[[Brief], Priced]
Code = tuple[tuple[Way, int], ...]
"""Ways and levels (from 1) of a combination: ("cell side", 3), ("light", 1)."""


STEPPED: tuple[Way, ...] = ("cell side", "size")
"""Ways that come in whole cells, and so change the number of sections."""


@dataclass(frozen=True, eq=False)
class Finding:
    """A design that meets the budget (or comes nearest): how it is reached from the option, what is given
    up in plain words, and its price."""

    code: Code
    gives_up: tuple[str, ...]
    loss: float
    brief: Brief
    priced: Priced
    price: Decimal


def applied(brief: Brief, levels: Sequence[Level]) -> Brief:
    return reduce(lambda made, level: level.apply(made), levels, brief)


class Tried:
    """Combinations by their row in `likely`; the first one is the option as it is. `made` has those that were
    looked at, None for what cannot be made; `fresh` are the others. Raises Refused where the option itself
    cannot be priced."""

    def __init__(
        self, brief: Brief, figure: Decimal, basis: Basis, may: Sequence[Way], pricer: Pricer
    ) -> None:
        self.brief, self.figure, self.limit = brief, figure, float(figure)
        self.basis, self.pricer, self.priced = basis, pricer, 0
        priced = self._priced_up(brief)
        every = {way: levels_of(way, brief, priced.composition) for way in MAY_MOVE if way in may}
        self.levels = {way: levels for way, levels in every.items() if levels}
        self.ways = tuple(self.levels)
        losses = [[level.loss for level in levels] for levels in self.levels.values()]
        stepped = [index for index, way in enumerate(self.ways) if way in STEPPED]
        self.likely = Likely(losses, [way == "cell side" for way in self.ways], stepped)
        self.fresh = np.ones(len(self.likely.numbers), dtype=bool)
        self.made: dict[int, Finding | None] = {}
        self.now = Finding((), (), 0.0, brief, priced, self._price(priced))
        self._keep(0, self.now)

    def look(self, row: int) -> None:
        if self.fresh[row]:
            self._keep(row, self._made(row))

    def meets(self, row: int) -> bool:
        made = self.made.get(row)
        return made is not None and made.price <= self.figure

    def least_loss(self) -> float:
        """Of what meets the figure; infinite while nothing does."""
        return min((self.likely.loss[row] for row in self.made if self.meets(row)), default=float("inf"))

    def findings(self) -> list[int]:
        """What meets the figure, the least given up first, without larger sets of the same ways."""
        found: list[int] = []
        for row in sorted(filter(self.meets, self.made), key=lambda row: (self.likely.loss[row], row)):
            if not self.larger(found)[row]:
                found.append(row)
        return found

    def larger(self, rows: Sequence[int]) -> NDArray[np.bool_]:
        """(n,): the combinations that take all ways of one of these, and perhaps more."""
        taken = self.likely.numbers > 0
        found = np.zeros(len(taken), dtype=bool)
        for row in rows:
            found |= taken[:, taken[row]].all(axis=1)
        return found

    def without(self, row: int) -> list[int]:
        """The combinations of all its ways but one; not the option itself."""
        steps = np.array(np.unravel_index(row, self.likely.shape))
        fewer = [np.where(np.arange(len(steps)) == i, 0, steps) for i in np.flatnonzero(steps)]
        return [self.row(each) for each in fewer if each.any()]

    def fresh_alone(self, row: int) -> list[int]:
        """The levels in a combination that come in whole cells and were not looked at alone."""
        numbers = zip(self.ways, self.likely.numbers[row].tolist(), strict=True)
        alone = [self.alone(way, number) for way, number in numbers if number and way in STEPPED]
        return [each for each in alone if self.fresh[each]]

    def unsure(self) -> NDArray[np.bool_]:
        """(n,): the combinations whose numbers of cells were not priced yet, in whatever combination."""
        steps = self.likely.steps
        return ~np.isin(steps, steps[~self.fresh])

    def alone(self, way: Way, number: int) -> int:
        return self.row([number * (each == way) for each in self.ways])

    def row(self, numbers: Sequence[int] | NDArray[np.int64]) -> int:
        return int(np.ravel_multi_index(tuple(numbers), self.likely.shape))

    def nearest(self) -> Finding | None:
        """The cheapest of what was looked at; None where that is the option itself."""
        made = [each for each in self.made.values() if each]
        best = min(made, key=lambda each: (each.price, each.loss, each.code))
        return best if best.code else None

    def _keep(self, row: int, made: Finding | None) -> None:
        self.made[row], self.fresh[row] = made, False
        if made:
            self.likely.learn(row, made.priced.sheet, float(made.price))

    def _made(self, row: int) -> Finding | None:
        numbers = self.likely.numbers[row].tolist()
        code = tuple((way, n) for way, n in zip(self.ways, numbers, strict=True) if n)
        chosen = [self.levels[way][number - 1] for way, number in code]
        try:
            brief = applied(self.brief, chosen)
            if any(applied(self.brief, [x for x in chosen if x is not level]) == brief for level in chosen):
                return None  # a smaller combination is the same
            priced = self._priced_up(brief)
        except Refused:
            return None
        words = tuple(level.told(priced.composition) for level in chosen)
        if not all(words) or (self.now.priced.composition.pieces and not priced.composition.pieces):
            return None  # a level came to nothing, or nothing is left but the lattice
        return Finding(code, words, float(self.likely.loss[row]), brief, priced, self._price(priced))

    def _priced_up(self, brief: Brief) -> Priced:
        self.priced += 1
        return self.pricer(brief)

    def _price(self, priced: Priced) -> Decimal:
        return priced.sheet.net if self.basis == "net" else priced.sheet.gross
