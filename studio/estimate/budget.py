"""The panel that meets a budget: what to give up, the least first."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import reduce
from itertools import product
from math import prod
from typing import Annotated, Literal

import numpy as np
from pydantic import Field

from studio.document import document
from studio.estimate.brief import Brief
from studio.estimate.moves import MAY_MOVE, Level, Way, levels_of
from studio.estimate.priced import Priced
from studio.problem import Refused

__all__ = ["MOST_FINDINGS", "Budget", "Found", "Finding", "given_up", "search"]

MOST_FINDINGS = 6
MOST_TRIED = 24
"""Combinations, and single levels that were guessed, which are made and priced after the sampled single
levels, so that the answer comes within a call."""
GUESS = 1.03
"""Combinations are tried where their single savings come within 3 % of the budget."""
CHEAPEST_TRIED = 3
SAMPLED = 5
"""Single levels of one way that are priced before any combination, about; those between are guessed."""

Pricer = Callable[[Brief], Priced]
Code = tuple[tuple[Way, int], ...]
"""Ways and levels (from 1) of a combination: ("cell side", 3), ("light", 1)."""


@document
class Budget:
    """What the client has, net or gross, and what may move; all else is fixed."""

    figure: Annotated[Decimal, Field(gt=0, le=10**9, decimal_places=4)]
    basis: Literal["net", "gross"] = "gross"
    may: Annotated[tuple[Way, ...], Field(min_length=1, max_length=len(MAY_MOVE))] = MAY_MOVE


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


@dataclass(frozen=True, eq=False)
class Found:
    """`findings` meet the budget, the least given up first, each giving up other things than the others;
    where there are none, `nearest` is the cheapest that was found. `as_it_is`: the option meets the budget
    already. `priced` counts the prices that were computed."""

    now: Decimal
    as_it_is: bool
    findings: tuple[Finding, ...]
    nearest: Finding | None
    priced: int


def search(brief: Brief, budget: Budget, pricer: Pricer) -> Found:
    """Up to six designs that meet the budget. `pricer` prices a brief, keeping what it has made; it raises
    Refused for what cannot be made, which is passed over.

    Single levels are priced first, of a way in many levels a few. Combinations are then gone through by what
    they give up, the least first; one is tried where its single savings, added up or multiplied, come near
    the budget. What meets it is relieved of every way that it does not need, and once a set of ways has met
    the budget, larger levels and larger sets of the same are left out. What gives nothing up beside a smaller
    combination is passed over, as is what would leave only the lattice of an option that has infills.
    Deterministic: it stops after a number of tries, not after a time. Raises Refused where the option itself
    cannot be priced.
    """
    tried = _Tried(brief, budget, pricer)
    now = tried.now.price
    if now <= budget.figure:
        return Found(now, True, (), None, tried.priced)
    findings = _meeting(tried, budget)
    nearest = None if findings else _cheapest(tried)
    if nearest and nearest.price <= budget.figure:  # its savings were larger than guessed
        findings, nearest = [_relieved(tried, nearest, budget.figure)], None
    return Found(now, False, tuple(findings), nearest, tried.priced)


def given_up(brief: Brief, priced: Priced, code: Code) -> Brief:
    """The brief that a combination makes of an option: what a proposal's code stands for. Raises Refused
    for a code that this option does not have."""
    for way, number in code:
        levels = levels_of(way, brief, priced.composition) if way in MAY_MOVE else ()
        if not 1 <= number <= len(levels) or sum(other == way for other, _ in code) > 1:
            reason = "the option has changed since this was found"
            raise Refused.because("code", reason, "look for the budget again")
    return _applied(brief, [levels_of(way, brief, priced.composition)[n - 1] for way, n in code])


def _applied(brief: Brief, levels: Sequence[Level]) -> Brief:
    return reduce(lambda made, level: level.apply(made), levels, brief)


class _Tried:
    """The levels of this option and every combination that was priced, None for what cannot be made."""

    def __init__(self, brief: Brief, budget: Budget, pricer: Pricer) -> None:
        self.brief, self.basis, self.pricer = brief, budget.basis, pricer
        self.priced = 0
        priced = self._priced_up(brief)
        ways = [way for way in MAY_MOVE if way in budget.may]
        self.levels = {way: levels_of(way, brief, priced.composition) for way in ways}
        self.has_pieces = bool(priced.composition.pieces)
        self.now = Finding((), (), 0.0, brief, priced, self._price(priced))
        self.found: dict[Code, Finding | None] = {(): self.now}

    def tried(self, code: Code) -> Finding | None:
        if code not in self.found:
            self.found[code] = self._made(code)
        return self.found[code]

    def loss(self, code: Code) -> float:
        return sum(self.levels[way][number - 1].loss for way, number in code)

    def codes(self) -> Iterator[Code]:
        """Every combination."""
        steps = [range(len(levels) + 1) for levels in self.levels.values()]
        for numbers in product(*steps):
            yield tuple((way, n) for way, n in zip(self.levels, numbers, strict=True) if n)

    def _made(self, code: Code) -> Finding | None:
        chosen = [self.levels[way][number - 1] for way, number in code]
        try:
            brief = _applied(self.brief, chosen)
            if any(_applied(self.brief, [x for x in chosen if x is not level]) == brief for level in chosen):
                return None  # a smaller combination is the same
            priced = self._priced_up(brief)
        except Refused:
            return None
        words = tuple(level.told(priced.composition) for level in chosen)
        if not all(words) or (self.has_pieces and not priced.composition.pieces):
            return None  # a level came to nothing, or nothing is left but the lattice
        return Finding(code, words, self.loss(code), brief, priced, self._price(priced))

    def _priced_up(self, brief: Brief) -> Priced:
        self.priced += 1
        return self.pricer(brief)

    def _price(self, priced: Priced) -> Decimal:
        return priced.sheet.net if self.basis == "net" else priced.sheet.gross


def _guesses(tried: _Tried) -> dict[tuple[Way, int], float]:
    """Share of the price that each single level leaves. Of a way in many levels a few are priced, and those
    between lie between; levels that cannot be made or do not save are left out."""
    now = float(tried.now.price)
    shares: dict[tuple[Way, int], float] = {}
    for way, levels in tried.levels.items():
        numbers = range(1, len(levels) + 1)
        sampled = numbers if len(numbers) <= SAMPLED else numbers[:: (len(numbers) - 1) // (SAMPLED - 1)]
        made = {n: tried.tried(((way, n),)) for n in sampled}
        known = {n: float(each.price) / now for n, each in made.items() if each}
        if known:
            guessed = np.interp(numbers, list(known), list(known.values())).tolist()
            there = [n for n in numbers if n in known or n not in made]
            shares |= {(way, n): guessed[n - 1] for n in there if guessed[n - 1] < 1}
    return shares


def _guess(code: Code, shares: dict[tuple[Way, int], float]) -> float:
    """Savings on different parts of a price add up, those on the same part multiply: the more hopeful."""
    if any(single not in shares for single in code):
        return float("inf")
    return min(prod(shares[single] for single in code), 1 - sum(1 - shares[single] for single in code))


def _relieved(tried: _Tried, found: Finding, figure: Decimal) -> Finding:
    """The same without the ways that it does not need, those that give up most first."""
    for single in sorted(found.code, key=lambda single: (-tried.loss((single,)), single)):
        less = tried.tried(tuple(each for each in found.code if each != single))
        if less and less.code and less.price <= figure:
            found = less
    return found


def _meeting(tried: _Tried, budget: Budget) -> list[Finding]:
    shares = _guesses(tried)
    now, limit = float(tried.now.price), float(budget.figure)
    likely = [code for code in tried.codes() if code and now * _guess(code, shares) <= limit * GUESS]
    likely.sort(key=lambda code: (tried.loss(code), code))
    found: list[Finding] = []
    before = tried.priced
    for code in likely:
        if len(found) == MOST_FINDINGS or tried.priced - before >= MOST_TRIED:
            break
        ways = {way for way, _ in code}
        if any({way for way, _ in each.code} <= ways for each in found):
            continue  # gives up the same and more
        made = tried.tried(code)
        if made and made.price <= budget.figure:
            found.append(_relieved(tried, made, budget.figure))
    return sorted(found, key=lambda each: (each.loss, each.code))


def _cheapest(tried: _Tried) -> Finding | None:
    """The cheapest of what was tried and of the combinations that promise most; None where nothing is
    cheaper than the option."""
    shares = _guesses(tried)
    most = sorted((code for code in tried.codes() if code), key=lambda code: (_guess(code, shares), code))
    for code in most[:CHEAPEST_TRIED]:
        tried.tried(code)
    made = [each for each in tried.found.values() if each]
    best = min(made, key=lambda each: (each.price, each.loss, each.code))
    return best if best.code else None
