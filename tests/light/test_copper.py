"""Volts lost in copper, against figures from outside: E1, E2 and E2b of the check values."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from studio.light.catalogue import CLASS_5_OHMS_PER_KM
from studio.light.copper import lead_drop_v, longest_run_m, strip_drop_v, warm_factor


def test_resistances_of_flexible_copper():
    """IEC 60228:2004, class 5, plain copper, 20 °C, from two reprints of the table."""
    assert CLASS_5_OHMS_PER_KM == {"0.5": 39.0, "0.75": 26.0, "1": 19.5, "1.5": 13.3}


@pytest.mark.parametrize(
    ("mm2", "volts"), [("0.5", 0.4680), ("0.75", 0.3120), ("1", 0.2340), ("1.5", 0.1596)]
)
def test_drop_of_a_lead(mm2, volts):
    """2 A through 3 m and back, by Ohm's law from those resistances."""
    assert lead_drop_v(2, 3, CLASS_5_OHMS_PER_KM[mm2] / 1000) == pytest.approx(volts, abs=1e-6)


def test_drop_in_percent_and_what_is_lost():
    """0.75 mm²: 2.6 % of 12 V, 1.3 % of 24 V, 0.624 W."""
    drop_v = lead_drop_v(2, 3, 0.026)
    assert (100 * drop_v / 12, 100 * drop_v / 24, 2 * drop_v) == pytest.approx((2.6, 1.3, 0.624))


@pytest.mark.parametrize(("deg_c", "factor"), [(30, 0.962), (50, 0.893), (70, 0.833)])
def test_warm_copper(deg_c, factor):
    """IEC 60228 corrects to 20 °C by these factors, from a reprint."""
    assert 1 / warm_factor(deg_c) == pytest.approx(factor, abs=5e-4)


@given(st.floats(0.1, 10), st.floats(0.1, 20), st.floats(0.001, 1))
def test_drop_along_a_strip_is_the_integral_of_its_falling_current(amps, length_m, ohms_per_m):
    added, _error = quad(lambda x: ohms_per_m * amps * (1 - x / length_m), 0, length_m)
    assert strip_drop_v(amps, length_m, ohms_per_m) == pytest.approx(added)


@given(st.sampled_from([12.0, 24.0]), st.floats(2, 20), st.floats(0.001, 1), st.floats(0.001, 0.5))
def test_the_longest_run_loses_what_is_allowed(volts, watts_per_m, lead_ohms, strip_ohms):
    longest_m = longest_run_m(volts, watts_per_m, 0.05 * volts, lead_ohms, strip_ohms)
    amps = watts_per_m * longest_m / volts
    assert amps * lead_ohms + strip_drop_v(amps, longest_m, strip_ohms) == pytest.approx(0.05 * volts)


def test_the_longest_run_by_one_resistance_alone():
    """24 V, 12 W/m: 0.5 A a metre; 1.2 V over 0.6 ohm are 2 A, 4 m; 0.5 x 0.6 L²/2 = 1.2 gives L² = 8."""
    assert longest_run_m(24, 12, 1.2, 0.6, 0) == pytest.approx(4)
    assert longest_run_m(24, 12, 1.2, 0, 0.6) == pytest.approx(8**0.5)
    assert longest_run_m(24, 12, 1.2, 0, 0) == float("inf")
