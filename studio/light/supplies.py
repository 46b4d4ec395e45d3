"""Which supplies feed which feeds at least cost: each feed is on one supply, and none is loaded too far."""

from bisect import bisect_left
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import product
from math import prod
from operator import le, mul, sub

__all__ = ["FEW", "Load", "Offer", "Price", "cheapest", "priced_by", "shared_out"]

FEW = 64
"""So many ways to have some of the feeds, by what they take, are all looked at."""
TOLERANCE_W = 1e-6


@dataclass(frozen=True, slots=True)
class Offer:
    """What may be bought: it carries up to `most_w`."""

    code: str
    most_w: float
    price: Decimal


@dataclass(frozen=True, slots=True)
class Load:
    """What one supply, and the controller behind it, feeds: places in the list of feeds."""

    feeds: tuple[int, ...]
    offers: tuple[str, ...]
    price: Decimal


Choice = tuple[Decimal, tuple[str, ...]]
Price = Callable[[float], Choice | None]
State = tuple[int, ...]


def cheapest(offers: Sequence[Offer]) -> Callable[[float], Offer | None]:
    """The cheapest offer for a load, of those as cheap the smallest; None where none carries it."""
    best: list[Offer] = []
    for offer in sorted(offers, key=lambda each: (-each.most_w, each.price, each.code)):
        if not best or offer.price <= best[-1].price:
            best.append(offer)
    best.reverse()
    bounds = [offer.most_w + TOLERANCE_W for offer in best]

    def chosen(load_w: float) -> Offer | None:
        at = bisect_left(bounds, load_w)
        return best[at] if at < len(best) else None

    return chosen


def priced_by(stages: Sequence[Sequence[Offer]]) -> Price:
    """The cheapest offer of every stage for a load (a supply, then a controller where there is one), and what
    they cost together; None where one stage has none that carries it."""
    choosers = [cheapest(offers) for offers in stages]
    known: dict[float, Choice | None] = {}

    def price(load_w: float) -> Choice | None:
        load_w = round(load_w, 6)
        if load_w not in known:
            known[load_w] = _choice([chosen(load_w) for chosen in choosers])
        return known[load_w]

    return price


def shared_out(watts: Sequence[float], price: Price) -> tuple[Load, ...]:
    """The feeds, by what they take, shared out to supplies. Every single feed is carried.

    The cost is the least there is where the feeds are alike enough for every way to be looked at (FEW);
    otherwise it is the least of those in which each supply takes feeds that follow each other.
    """
    kinds = Counter(watts)
    few = prod(count + 1 for count in kinds.values()) <= FEW
    return _of_kinds(watts, kinds, price) if few else _in_order(watts, price)


def _choice(found: Sequence[Offer | None]) -> Choice | None:
    offers = [offer for offer in found if offer]
    if len(offers) < len(found):
        return None
    return sum((offer.price for offer in offers), Decimal(0)), tuple(offer.code for offer in offers)


def _in_order(watts: Sequence[float], price: Price) -> tuple[Load, ...]:
    """The best way to feed the first i, from the best ways for fewer."""
    best: list[tuple[Decimal, tuple[Load, ...]]] = [(Decimal(0), ())]
    for end in range(1, len(watts) + 1):
        found, load_w = [], 0.0
        for start in reversed(range(end)):
            load_w += watts[start]
            choice = price(load_w)
            if choice is None:
                break
            found.append((best[start][0] + choice[0], -start, choice))
        total, start, choice = min(found, key=lambda each: each[:2])
        load = Load(tuple(range(-start, end)), choice[1], choice[0])
        best.append((total, (*best[-start][1], load)))
    return best[-1][1]


def _of_kinds(watts: Sequence[float], kinds: Counter[float], price: Price) -> tuple[Load, ...]:
    """The best way for so many of each kind, from the best ways for fewer: one load holds one of the first
    kind that there is, whoever else it holds."""
    sizes, counts = tuple(kinds), tuple(kinds.values())
    states = list(product(*(range(count + 1) for count in counts)))
    loads = {state: price(sum(map(mul, state, sizes))) for state in states[1:]}
    ways = [(state, choice) for state, choice in loads.items() if choice]
    best: dict[State, tuple[Decimal, int, State]] = {states[0]: (Decimal(0), 0, states[0])}
    for state in states[1:]:
        first = next(i for i, n in enumerate(state) if n)
        found = []
        for way, (cost, _offers) in ways:
            if way[first] and all(map(le, way, state)):
                total, number, _before = best[tuple(map(sub, state, way))]
                found.append((total + cost, number + 1, way))
        best[state] = min(found)
    return tuple(_loads(watts, sizes, best, loads, counts))


def _loads(
    watts: Sequence[float],
    sizes: Sequence[float],
    best: Mapping[State, tuple[Decimal, int, State]],
    priced: Mapping[State, Choice | None],
    state: State,
) -> Iterator[Load]:
    """The loads of the best way, with feeds of each kind in their order."""
    left = {size: [i for i, w in enumerate(watts) if w == size] for size in sizes}
    while any(state):
        way = best[state][2]
        if choice := priced[way]:
            feeds = [left[size].pop(0) for n, size in zip(way, sizes, strict=True) for _ in range(n)]
            yield Load(tuple(sorted(feeds)), choice[1], choice[0])
        state = tuple(map(sub, state, way))
