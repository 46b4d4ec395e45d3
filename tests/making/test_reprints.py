"""Failures, against the exercise and the distributions that others publish."""

from math import ceil, log1p, prod

import pytest
from scipy.stats import nbinom

from studio.making.chances import expected_extra_runs, failure_probability


def test_three_per_cent_in_three_hours_is_thirteen_in_fourteen() -> None:
    hazard = 0.010153  # -ln(0.97) / 3
    assert failure_probability(hazard, 3) == pytest.approx(0.03, abs=1e-5)
    assert failure_probability(hazard, 14) == pytest.approx(0.1325, abs=1e-4)


@pytest.mark.parametrize(("hazard", "hours"), [(0.01, 3), (0.01, 14), (0.05, 10), (0.0, 8)])
def test_expected_extra_runs_are_the_mean_failures_before_a_success(hazard: float, hours: float) -> None:
    # scipy's negative binomial: failures before the first success.
    failing = failure_probability(hazard, hours)
    assert expected_extra_runs(hazard, hours) == pytest.approx(nbinom(1, 1 - failing).mean())
    assert 1 + expected_extra_runs(hazard, hours) == pytest.approx(1 / (1 - failing))  # N / (1 - p) for N = 1


@pytest.mark.parametrize(
    ("good", "failing", "started"),
    [(450, (0.10, 0.06, 0.06), 566), (450, (0.05, 0.03, 0.03), 504), (100, (0.05,), 106), (95, (0.05,), 100)],
)
def test_units_to_start(good: int, failing: tuple[float, ...], started: int) -> None:
    # Operations-management exercise (three-step process, 450 a day): N / product of (1 - p) is 565.867,
    # 503.437 and 105.263, rounded up.
    runs = prod(1 + expected_extra_runs(-log1p(-p), 1) for p in failing)
    assert ceil(good * runs - 1e-9) == started
