"""Energy by phase."""

import pytest

from studio.making.plan import energy_kwh, heating_kwh
from tests.making.made import printer


def test_power_times_time() -> None:
    # 150 W for 8 h are 1.2 kWh (unit definition).
    steady = printer(power_w=150, heat_up_w=150)
    assert energy_kwh(steady, 480) == pytest.approx(1.2, abs=1e-9)


def test_heating_up_takes_its_own_power() -> None:
    # 6 minutes at 350 W are 0.035 kWh, 54 minutes at 130 W 0.117 kWh.
    assert energy_kwh(printer(heat_up_minutes=6, heat_up_w=350, power_w=130), 60) == pytest.approx(0.152)
    assert heating_kwh(printer(heat_up_minutes=6, heat_up_w=350), 60) == pytest.approx(0.035)


def test_a_plate_that_ends_while_it_heats_up() -> None:
    assert energy_kwh(printer(heat_up_minutes=6, heat_up_w=350), 3) == pytest.approx(0.0175)
    assert heating_kwh(printer(heat_up_minutes=6, heat_up_w=350), 3) == pytest.approx(0.0175)
