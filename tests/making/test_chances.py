"""The two distributions against scipy's, and that nothing about them is left to chance."""

from math import log

import numpy as np
import pytest
from scipy.stats import chisquare, geom, kstest, lognorm, nbinom

from studio.making.chances import expected_failures, failures, labour_factors

HAZARD = -log(0.97) / 3
"""Failures an hour where 3 % of runs of three hours fail."""


@pytest.mark.parametrize(("hours", "share"), [(3, 0.03), (14, 0.1325)])
def test_three_per_cent_in_three_hours_is_thirteen_in_fourteen(hours: float, share: float) -> None:
    drawn = failures(HAZARD, [60 * hours] * 400)
    assert drawn.shape == (500, 400)
    assert (drawn > 0).mean() == pytest.approx(share, abs=0.002)  # three standard errors of 200,000 draws


def test_failures_before_a_success_are_geometric() -> None:
    drawn = failures(0.05, [600] * 400).ravel()  # p = 1 - exp(-0.5) = 0.393
    counted = np.bincount(np.minimum(drawn, 7), minlength=8)
    law = geom(np.exp(-0.5), loc=-1)
    expected = drawn.size * np.append(law.pmf(range(7)), law.sf(6))
    assert chisquare(counted, expected).pvalue > 0.01


@pytest.mark.parametrize("plates", [1, 10, 40])
def test_failures_of_a_whole_job_are_negative_binomial(plates: int) -> None:
    # Failures before as many successes as there are plates, each alike.
    drawn = failures(HAZARD, [60 * 14] * plates, courses=4000).sum(axis=1)
    law = nbinom(plates, 0.97 ** (14 / 3))
    for share in (0.5, 0.8, 0.95):
        assert (
            law.cdf(np.quantile(drawn, share) - 1) - 0.02
            <= share
            <= law.cdf(np.quantile(drawn, share)) + 0.02
        )
    assert abs(np.quantile(drawn, 0.8) - law.ppf(0.8)) <= 1
    assert drawn.mean() == pytest.approx(law.mean(), rel=0.05)


def test_labour_is_log_normal() -> None:
    # Median 10, sigma 0.5: mean 11.331485, variance 36.469585, 90 % below 18.979527 (closed form). The
    # planned minutes are the mean.
    law = lognorm(0.5, scale=10)
    assert (law.mean(), law.var(), law.ppf(0.9)) == pytest.approx((11.331485, 36.469585, 18.979527), abs=1e-5)
    drawn = 11.331485 * labour_factors(0.5, 1, courses=50_000).ravel()
    assert kstest(drawn, law.cdf).pvalue > 0.01
    found = drawn.mean(), drawn.var(), np.quantile(drawn, 0.9)
    assert found == pytest.approx((11.331485, 36.469585, 18.979527), rel=0.001)


def test_stages_of_labour_are_independent() -> None:
    # Fenton-Wilkinson (L. F. Fenton 1960, from memory) for twelve of the above: mean 135.977814, standard
    # deviation 20.919728, 90 % below 163.499.
    drawn = 11.331485 * labour_factors(0.5, 12, courses=20_000).sum(axis=1)
    assert drawn.mean() == pytest.approx(135.977814, rel=0.005)
    assert drawn.std() == pytest.approx(20.919728, rel=0.01)
    assert np.quantile(drawn, 0.9) == pytest.approx(163.499, rel=0.005)


def test_the_same_luck_for_the_same_question() -> None:
    assert (failures(0.1, [60, 600]) == failures(0.1, [60, 600])).all()
    assert (labour_factors(0.3, 3) == labour_factors(0.3, 3)).all()
    assert not failures(0, [900] * 5).any()
    assert (labour_factors(0, 3) == 1).all()
    assert failures(0.1, []).shape == (500, 0)


def test_expected_failures_are_whole_runs_of_the_longest_plates_first() -> None:
    # exp(0.4) - 1 = 0.49 and 0.98 and 1.48; exp(0.1) - 1 = 0.11 and then 1.58.
    assert expected_failures(0.1, [60, 240, 240, 240]) == [1, 0, 1, 0]
    assert expected_failures(0.1, []) == []
    assert expected_failures(0, [900] * 3) == [0, 0, 0]
