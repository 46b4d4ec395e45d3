"""What every combination of steps is likely to cost, judged from the few that were priced."""

from collections.abc import Mapping, Sequence
from math import prod

import numpy as np
from numpy.typing import NDArray

from studio.pricing.sheet import PriceSheet

__all__ = ["Likely"]

Floats = NDArray[np.float64]
RIDGE = 0.03
"""How little a pair of ways is thought to strengthen or weaken each other until prices show it."""
TOGETHER = 0.5
"""How much of such an effect may belong to two levels alone, and say nothing of those beside them."""
BY_NAME = ("labour", "bought-in")
"""Groups whose lines are counted by things that stay the same; the lines of others come and go with printers
and colours, and are judged together."""
OF_PRICE = ("margin", "shares", "adjustment")


class Likely:
    """All combinations of the levels of some ways: `numbers` (n, ways) has the level of each way, 0 for none,
    `loss` (n,) what is given up. The first row is the option as it is.

    A cost line is taken to be a product: half as many cells have half the pieces to place, and in a panel of
    half the size half of those. So each line gets a factor for each level from combinations of one way alone,
    levels between known ones lie between, and the factors multiply. What pairs of ways then cost more or less
    is fitted to the combinations that were priced, by least squares that prefer no such effect (ridge
    regression). A guess, not a bound: sections and plates come whole.
    """

    def __init__(
        self, losses: Sequence[Sequence[float]], curved: Sequence[bool], stepped: Sequence[int] = ()
    ) -> None:
        """`losses` by way and level; `curved` ways have most of their effect in their first levels; `stepped`
        ones, by index, decide together how many sections there are."""
        self.losses = [np.array([0.0, *each]) for each in losses]
        self._curved = curved
        self.shape = tuple(len(each) for each in self.losses)
        self.numbers = np.indices(self.shape).reshape(len(self.shape), prod(self.shape)).T
        self.loss = np.zeros(len(self.numbers))
        for way, lost in enumerate(self.losses):
            self.loss += lost[self.numbers[:, way]]
        self._parts: dict[int, Mapping[str, float]] = {}
        self._costs: dict[int, float] = {}
        self._prices: dict[int, float] = {}
        self._costs_guessed: Floats | None = None
        self.steps = self._stepped(stepped)
        self._pairs = np.hstack((self._paired(), self._together(stepped)))

    def learn(self, row: int, sheet: PriceSheet, price: float) -> None:
        """Row 0 first."""
        self._costs[row], self._prices[row] = float(sheet.cost), price
        if np.count_nonzero(self.numbers[row]) < 2:
            self._parts[row], self._costs_guessed = _parts(sheet), None

    def prices(self) -> Floats:
        """(n,), in the order of `numbers`."""
        if self._costs_guessed is None:
            self._costs_guessed = self._multiplied()
        guessed = self._costs_guessed
        rows = list(self._costs)
        pairs, off = self._pairs[rows], np.log(np.array(list(self._costs.values())) / guessed[rows])
        effects = np.linalg.solve(pairs.T @ pairs + RIDGE * np.eye(pairs.shape[1]), pairs.T @ off)
        return self._priced(guessed * np.exp(self._pairs @ effects))

    def _priced(self, costs: Floats) -> Floats:
        """On the line through the option and the cheapest that was priced: what is given off or added whole
        does not follow the cost."""
        least = min(self._costs, key=lambda row: (self._costs[row], row))
        saved = self._costs[0] - self._costs[least]
        slope = (self._prices[0] - self._prices[least]) / saved if saved else self._prices[0] / self._costs[0]
        return np.asarray(self._prices[0] + slope * (costs - self._costs[0]), dtype=np.float64)

    def _multiplied(self) -> Floats:
        names = sorted({name for parts in self._parts.values() for name in parts})
        now = self._vector(0, names)
        there = now > 0
        costs, added = np.tile(now, (len(self.numbers), 1)), np.zeros((len(self.numbers), len(names)))
        for way in range(len(self.shape)):
            levels = self._levels(way, names)
            factors = np.where(there, levels / np.where(there, now, 1.0), 1.0)
            costs *= factors[self.numbers[:, way]]
            added = np.maximum(added, np.where(there, 0.0, levels)[self.numbers[:, way]])
        costs += added
        labour = np.array([name.startswith("labour") for name in names])
        overhead = np.array([name == "overhead" for name in names])
        worked = costs[:, labour].sum(axis=1) / max(now[labour].sum(), 1e-9)
        return np.asarray(costs[:, ~overhead].sum(axis=1) + now[overhead].sum() * worked)

    def _levels(self, way: int, names: Sequence[str]) -> Floats:
        """(levels, names): the lines of each level of one way alone."""
        known = {0: self._vector(0, names)}
        for row in self._parts:
            if row and self.numbers[row, way]:
                known[int(self.numbers[row, way])] = self._vector(row, names)
        at = np.log1p(self.losses[way]) if self._curved[way] else self.losses[way]
        numbers = sorted(known)
        lines = np.array([known[number] for number in numbers])
        return np.array([np.interp(at, at[numbers], line) for line in lines.T]).T

    def _vector(self, row: int, names: Sequence[str]) -> Floats:
        return np.array([self._parts[row].get(name, 0.0) for name in names])

    def _stepped(self, ways: Sequence[int]) -> NDArray[np.int64]:
        """(n,): equal where the levels of these ways are."""
        numbers = np.zeros(len(self.numbers), dtype=np.int64)
        for way in ways:
            numbers = numbers * self.shape[way] + self.numbers[:, way]
        return numbers

    def _together(self, ways: Sequence[int]) -> Floats:
        """(n, levels of these ways together): 1 where all of them are given up, each to its level."""
        every = np.flatnonzero((self.numbers[:, list(ways)] > 0).all(axis=1) & (len(ways) > 1))
        found = np.zeros((len(self.numbers), len(np.unique(self.steps[every]))))
        found[every] = TOGETHER * (self.steps[every, None] == np.unique(self.steps[every]))
        return found

    def _paired(self) -> Floats:
        """(n, pairs): how far both ways of a pair are gone together."""
        gone = self.numbers / np.maximum(np.array(self.shape) - 1, 1)
        first, second = np.triu_indices(len(self.shape), 1)
        return np.asarray(gone[:, first] * gone[:, second], dtype=np.float64)


def _parts(sheet: PriceSheet) -> dict[str, float]:
    found: dict[str, float] = {}
    for line in sheet.lines:
        if line.group not in OF_PRICE:
            name = f"{line.group} {line.code}" if line.group in BY_NAME else line.group
            found[name] = found.get(name, 0.0) + float(line.amount)
    return found
