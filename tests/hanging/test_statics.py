"""Rigid panels on two to six hangers against a solver of linear programs."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from studio.hanging.statics import newtons, pull_out_n, shares, worst_share

whole = st.integers(0, 2000)


def solved(places, centre, support):
    """The most that one support can carry in any state of equilibrium of supports that only push up; None
    where there is none."""
    most = np.zeros(len(places))
    most[support] = -1
    found = linprog(most, A_eq=[np.ones(len(places)), places], b_eq=[1, centre], bounds=(0, None))
    return -found.fun if found.status == 0 else None


@settings(max_examples=25)
@given(st.lists(whole, min_size=2, max_size=6, unique=True), whole)
def test_the_worst_share_is_that_of_the_solver(places, centre):
    """With whatever touches, and with every pair alone."""
    alone = [solved(pair, centre, i) for pair in combinations(places, 2) for i in (0, 1)]
    together = [solved(places, centre, i) for i in range(len(places))]
    most = max((each for each in together if each is not None), default=None)
    assert worst_share(places, centre, any_two=False) == pytest.approx(most)
    every = None if None in alone else max(alone)
    assert worst_share(places, centre) == pytest.approx(every)


@given(whole, whole, whole)
def test_two_hangers_by_a_matrix_of_equilibrium(first, second, centre):
    assume(first != second)
    expected = np.linalg.solve([[1, 1], [first, second]], [1, centre])
    assert shares(first, second, centre) == pytest.approx(tuple(expected), abs=1e-9)


def test_by_hand():
    """A weight at 400 between hangers at 100 and 500: a quarter and three quarters. One of three in the
    middle may carry all with either other; an off-centre pair carries nothing."""
    assert shares(100, 500, 400) == (0.25, 0.75)
    assert worst_share((100, 500), 400) == 0.75
    assert worst_share((100, 300, 500), 300) == 1
    assert worst_share((100, 200), 300) is None
    assert worst_share((100, 200, 400, 500), 300) is None
    assert worst_share((100, 200, 400, 500), 300, any_two=False) == pytest.approx(2 / 3)


def test_weights_and_the_pull_of_a_projection():
    """10 kg weigh 98.0665 N; 20 mm off the wall and 500 mm above the lower contact they pull 3.92 N."""
    assert newtons(10_000) == pytest.approx(98.0665)
    assert pull_out_n(98.0665, 20, 500) == pytest.approx(3.92266)
