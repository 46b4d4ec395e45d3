"""Quantiles against scipy."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import chi2, t

from studio.making.quantiles import poisson_limits, student_point


@given(st.integers(1, 60), st.floats(0.05, 0.995))
def test_student(freedom: int, chance: float) -> None:
    assert student_point(chance, freedom) == pytest.approx(t.ppf((1 + chance) / 2, freedom), rel=1e-9)


@given(st.integers(0, 80), st.floats(0.3, 0.995))
def test_exact_limits_of_a_poisson_mean(count: int, chance: float) -> None:
    # Half a chi-squared quantile with 2 k and 2 k + 2 degrees of freedom (Garwood 1936, from memory).
    low, high = poisson_limits(count, chance)
    tail = (1 - chance) / 2
    assert low == pytest.approx(chi2.ppf(tail, 2 * count) / 2 if count else 0.0, rel=1e-7)
    assert high == pytest.approx(chi2.ppf(1 - tail, 2 * count + 2) / 2, rel=1e-7)


def test_no_failure_leaves_three_in_all_at_95_per_cent_on_one_side() -> None:
    # "Rule of three": exp(-3) is 5 % (common practice); 90 % on two sides leaves 5 % above.
    assert poisson_limits(0, 0.9) == pytest.approx((0, 2.9957), abs=1e-4)
