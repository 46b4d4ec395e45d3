"""What is left of the margin in the worst two of ten cases."""

from decimal import Decimal
from math import exp, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from studio.pricing.price import price
from studio.pricing.ranges import Spreads, factor, margins_left, poisson_quantile
from studio.pricing.terms import Terms
from tests.pricing.by_hand import a_book, quantities
from tests.pricing.priced import sheet_of


@given(st.floats(0.001, 0.84))
def test_the_factor_is_the_quantile_of_a_log_normal_of_mean_one(sigma):
    """scipy.stats.lognorm with s = sigma, scale = exp(-sigma^2/2)."""
    law = stats.lognorm(sigma, scale=exp(-(sigma**2) / 2))
    assert law.mean() == pytest.approx(1)
    assert factor(sigma) == pytest.approx(law.ppf(0.8))


def test_more_spread_is_never_less_risk():
    factors = [factor(sigma / 20) for sigma in range(60)]
    assert factors == sorted(factors)
    assert factors[-1] == pytest.approx(exp(0.8416212335729143**2 / 2))


def test_the_factor_of_a_known_law():
    """A log-normal law of median 10 and sigma 0.5 has mean 11.331485 and 90 % point 18.979 (closed form,
    scipy); ours is scaled to mean 1 and taken at 80 %."""
    law = stats.lognorm(0.5, scale=10)
    assert law.mean() == pytest.approx(11.331485, abs=1e-6)
    assert factor(0.5) == pytest.approx(law.ppf(0.8) / law.mean())


@pytest.mark.parametrize("expected", [745.0, 746.0, 2000.5, 30_000.0])
def test_many_failures_are_counted_too(expected):
    assert poisson_quantile(expected) == stats.poisson(expected).ppf(0.8)


@given(st.floats(0.01, 60))
def test_the_count_of_failures_is_the_quantile_of_a_poisson_law(expected):
    assert poisson_quantile(expected) == stats.poisson(expected).ppf(0.8)


def test_no_spread_leaves_the_margin_as_it_is():
    sheet = sheet_of()
    for left in margins_left(sheet, Spreads(0, 0, 0)):
        assert left.more == 0
        assert left.percent == sheet.margin_percent


def test_what_is_left_counts_card_fees_on_what_is_paid():
    """62 at 35 % and a card of 2.5 % on gross is 100, of which the card takes 3 of 120: 35 are left."""
    sheet = price(quantities(), a_book("62", card_percent=Decimal("2.5")), Terms())
    assert {(left.margin, left.percent) for left in margins_left(sheet, Spreads(0, 0, 0))} == {(35, 35)}


def test_labour_by_hand():
    """Wages and overhead by the hour, times the factor less one; quoting is over."""
    sheet = sheet_of()
    worked = [line for line in sheet.lines if line.group in ("labour", "overhead")]
    work = sum(line.amount for line in worked if line.code != "quoting")
    left = {each.cause: each for each in margins_left(sheet, Spreads(0, 0.3, 0))}
    expected = float(work) * (exp(0.3 * 0.8416212335729143 - 0.045) - 1)
    assert float(left["labour"].more) == pytest.approx(expected, abs=0.006)
    shares = sum(line.amount for line in sheet.lines if line.group == "shares")
    assert left["labour"].margin == sheet.net - sheet.cost - shares - left["labour"].more
    assert left["printing"].more == left["failures"].more == 0


def test_together_is_the_root_of_the_squares():
    left = {each.cause: each.more for each in margins_left(sheet_of(), Spreads(0.2, 0.3, 1.5))}
    alone = [float(left[cause]) for cause in ("printing", "labour", "failures")]
    assert float(left["all three"]) == pytest.approx(sqrt(sum(a * a for a in alone)), abs=0.02)
    assert left["all three"] >= max(left["printing"], left["labour"], left["failures"])
    assert all(isinstance(amount, Decimal) for amount in left.values())
