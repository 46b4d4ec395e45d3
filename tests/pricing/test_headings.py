"""What belongs to no heading lies in as few lines as the law of sums allows."""

from decimal import Decimal
from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from studio.pricing.headings import borne

D = Decimal
CENTS = st.integers(0, 100).map(lambda cents: D(cents) / 100)


def fewest(off: Decimal, others: list[Decimal]) -> int:
    """By trying: how many of the others can bear what the first one cannot."""
    sizes = range(len(others) + 1)
    return next(n for n in sizes if any(sum(some) >= off for some in combinations(others, n)))


def test_a_small_part_is_passed_over_for_one_that_bears_all() -> None:
    """90 off, of which the first bears 50: the 60 bear the other 40, and the 10 nothing."""
    assert list(borne(D(-90), {"a": D(50), "b": D(10), "c": D(60)})) == [("a", D(-50)), ("c", D(-40))]


@given(first=CENTS, others=st.lists(CENTS, max_size=5), share=st.integers(0, 100))
def test_no_fewer_parts_bear_it(first, others, share) -> None:
    off = (first + sum(others, D(0))) * share / 100
    pots = {"first": first, **{str(place): held for place, held in enumerate(others)}}
    parts = dict(borne(-off, pots))
    assert sum(parts.values(), D(0)) == -off
    assert all(-pots[key] <= part < 0 for key, part in parts.items())
    assert parts.get("first", D(0)) == -min(off, first)
    assert len([key for key in parts if key != "first"]) == fewest(max(off - first, D(0)), others)
