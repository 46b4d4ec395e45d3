"""Which plates still wait, in many courses of making at once."""

import numpy as np
from numpy.typing import NDArray

__all__ = ["Waiting"]

Ints = NDArray[np.int64]
Words = NDArray[np.uint64]
BITS, SHIFT, REST = 64, 6, 63
BIT = np.left_shift(np.uint64(1), np.arange(BITS, dtype=np.uint64))
"""The word with one bit, by its number."""
FROM = -BIT
"""The word with all bits from a number on."""


class Waiting:
    """`count` numbered things in each of so many courses, of which all wait at first.

    A bit for each, 64 to a word, and above each level another with a bit for each of its words that is not
    empty, up to a single word: every question touches a word or two on each level, log64 of `count` of them.
    `courses` and `numbers` are arrays of equal length, no course twice.
    """

    def __init__(self, courses: int, count: int) -> None:
        self.count = count
        self.levels: list[Words] = []
        bits = places = count
        while not self.levels or places > 1:
            places = places // BITS + 1  # one more at most than needed, for a question beyond the last
            last = bits - np.arange(places) * BITS
            row = np.where(last < BITS, BIT[last.clip(0) % BITS] - 1, FROM[0])
            self.levels.append(np.tile(row, (courses, 1)))
            bits = -(-bits // BITS)

    def add(self, courses: Ints, numbers: Ints) -> None:
        for words in self.levels:
            words[courses, numbers >> SHIFT] |= BIT[numbers & REST]
            numbers = numbers >> SHIFT

    def remove(self, courses: Ints, numbers: Ints) -> None:
        for words in self.levels:
            word = numbers >> SHIFT
            left = words[courses, word] & ~BIT[numbers & REST]
            words[courses, word] = left
            if left.all():
                break
            empty = (left == 0).nonzero()[0]
            courses, numbers = courses[empty], word[empty]

    def first_from(self, courses: Ints, numbers: Ints) -> Ints:
        """The first that waits, of each number and those above it; `count` where none does."""
        found, places = np.full(len(courses), self.count), np.arange(len(courses))
        for level, words in enumerate(self.levels):
            word = numbers >> SHIFT
            bits = words[courses, word] & FROM[numbers & REST]
            here = bits.nonzero()[0]
            found[places[here]] = self._down(level, courses[here], word[here] * BITS + _lowest(bits[here]))
            if len(here) == len(bits):
                break
            above = (bits == 0).nonzero()[0]
            courses, numbers, places = courses[above], word[above] + 1, places[above]
        return found

    def _down(self, level: int, courses: Ints, numbers: Ints) -> Ints:
        """The first that waits below each of these bits of a level."""
        for words in reversed(self.levels[:level]):
            numbers = numbers * BITS + _lowest(words[courses, numbers])
        return numbers


def _lowest(words: Words) -> NDArray[np.uint8]:
    """The number of the lowest bit of each word, none of which is empty."""
    numbers: NDArray[np.uint8] = np.bitwise_count((words & -words) - 1)
    return numbers
