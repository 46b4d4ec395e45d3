"""Which supplies are bought, against every way there is; loads of E4 of the check values."""

from collections import Counter
from decimal import Decimal
from itertools import pairwise
from math import prod

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from studio.light.supplies import FEW, Offer, cheapest, priced_by, shared_out

OFFERS = (
    Offer("small", 24, Decimal(14)),
    Offer("middle", 48, Decimal(19)),
    Offer("large", 120, Decimal(36)),
)
DIMMERS = (Offer("dimmer", 60, Decimal(15)), Offer("strong", 240, Decimal(24)))
STAGES = st.sampled_from([(OFFERS,), (OFFERS, DIMMERS)])


def parted(items):
    """Every way to part a list."""
    if not items:
        yield []
        return
    first, *rest = items
    for others in parted(rest):
        yield [[first], *others]
        for i, group in enumerate(others):
            yield [*others[:i], [first, *group], *others[i + 1 :]]


def price_of(load_w, stages):
    found = [[o.price for o in offers if o.most_w >= load_w - 1e-6] for offers in stages]
    return sum(map(min, found)) if all(found) else None


def cost_of(parts, watts, stages):
    prices = [price_of(sum(watts[i] for i in part), stages) for part in parts]
    return None if None in prices else sum(prices)


def least(watts, stages):
    costs = (cost_of(parts, watts, stages) for parts in parted(list(range(len(watts)))))
    return min(cost for cost in costs if cost is not None)


@settings(max_examples=60)
@given(st.lists(st.sampled_from([9.0, 20.0, 36.0]), min_size=1, max_size=6), STAGES)
def test_no_way_to_share_out_a_few_feeds_costs_less(watts, stages):
    loads = shared_out(watts, priced_by(stages))
    assert sum(load.price for load in loads) == least(watts, stages)


@given(st.lists(st.floats(1, 110), min_size=1, max_size=40), STAGES)
def test_each_feed_is_on_one_supply_that_carries_it(watts, stages):
    loads = shared_out(watts, priced_by(stages))
    assert sorted(i for load in loads for i in load.feeds) == list(range(len(watts)))
    for load in loads:
        load_w = sum(watts[i] for i in load.feeds)
        assert load.price == price_of(load_w, stages)
        for code, offers in zip(load.offers, stages, strict=True):
            assert next(o.most_w for o in offers if o.code == code) >= load_w - 1e-5


@settings(max_examples=40)
@given(st.lists(st.sampled_from([7.0, 11.0, 19.0, 23.0, 31.0, 41.0, 53.0]), min_size=7, max_size=9))
def test_many_different_feeds_go_to_supplies_in_their_order(watts):
    """Where they are too many for every way, none in which supplies take feeds that follow each other costs
    less."""
    assume(prod(count + 1 for count in Counter(watts).values()) > FEW)
    loads = shared_out(watts, priced_by((OFFERS,)))
    number = len(watts)
    cuts = ([0, *(i for i in range(1, number) if bits >> i & 1), number] for bits in range(0, 2**number, 2))
    ordered = ([range(a, b) for a, b in pairwise(c)] for c in cuts)
    costs = (cost_of(parts, watts, (OFFERS,)) for parts in ordered)
    assert sum(load.price for load in loads) == min(cost for cost in costs if cost is not None)


@pytest.mark.parametrize(("load_w", "least_w"), [(360, 450), (36, 45), (72, 90)])
def test_the_least_supply_at_four_fifths(load_w, least_w):
    """14.4 W/m x 20 m + 7.2 W/m x 10 m, 14.4 W/m x 2.5 m and 72 W, each over 0.8."""
    rated = (30, 45, 90, 450, 600)
    offers = [Offer(str(watts), watts * 80 / 100, Decimal(watts)) for watts in rated]
    assert cheapest(offers)(load_w).code == str(least_w)


def test_a_larger_offer_that_costs_less_is_taken():
    chosen = cheapest([Offer("small", 10, Decimal(9)), Offer("large", 20, Decimal(8))])
    assert (chosen(5).code, chosen(15).code, chosen(21)) == ("large", "large", None)
