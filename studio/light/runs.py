"""Chains of strips cut into runs, each fed at one end; two ends fed, or the middle, are two runs."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil

from studio.light.layout import Chain, Piece, Point

__all__ = ["Run", "runs_of"]


@dataclass(frozen=True, slots=True)
class Run:
    """What one feed feeds, in one module."""

    module: int
    pieces: tuple[Piece, ...]


def runs_of(chain: Chain, most_steps: int) -> tuple[Run, ...]:
    """The fewest runs of at most `most_steps` cut steps, at least 1, in the chain's order, the longest of
    them as short as it can be. Only a piece that is longer than that is cut, into even ones."""
    if not chain.pieces:
        return ()
    most = max(1, most_steps)
    steps = [piece.steps for piece in chain.pieces]
    number = _count(steps, most)
    whole = max((each for each in steps if each <= most), default=1)
    low, high = max(ceil(sum(steps) / number), whole), most  # the least bound that makes no more runs
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if _count(steps, middle) <= number else (middle + 1, high)
    return tuple(Run(chain.module, pieces) for pieces in _packed(chain.pieces, high))


def _count(steps: Sequence[int], most: int) -> int:
    runs, room = 0, 0
    for each in steps:
        if each > most:
            runs, room = runs + ceil(each / most), 0
        elif each <= room:
            room -= each
        else:
            runs, room = runs + 1, most - each
    return runs


def _packed(pieces: Sequence[Piece], most: int) -> Iterator[tuple[Piece, ...]]:
    """Parts of a piece that is cut are runs of their own."""
    run: list[Piece] = []
    room = most
    for piece in pieces:
        if run and piece.steps > room:
            yield tuple(run)
            run, room = [], most
        if piece.steps > most:
            yield from ((part,) for part in _cut(piece, most))
        else:
            run.append(piece)
            room -= piece.steps
    if run:
        yield tuple(run)


def _cut(piece: Piece, most: int) -> Iterator[Piece]:
    """Even parts."""
    parts = ceil(piece.steps / most)
    ends = [piece.steps * i // parts for i in range(parts + 1)]
    for first, last in pairwise(ends):
        yield Piece(_along(piece, first), _along(piece, last), last - first)


def _along(piece: Piece, steps: int) -> Point:
    share = steps / piece.steps
    (x0, y0), (x1, y1) = piece.start, piece.end
    return x0 + share * (x1 - x0), y0 + share * (y1 - y0)
