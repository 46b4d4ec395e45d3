"""Factors, ranges and hazards from plates that were run."""

from dataclasses import replace
from math import sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.document import dump, parse
from studio.making.measured import Measured, experience_of, fit_factors
from studio.problem import Problem, Refused


def plate(
    minutes: float = 120, took: float = 132, grams: float = 40, weighed: float = 41, **kwargs
) -> Measured:
    return Measured(
        printer="Small bed",
        estimated_minutes=minutes,
        measured_minutes=took,
        estimated_g=grams,
        measured_g=weighed,
        **kwargs,
    )


THREE = (plate(100, 110, 30, 30), plate(200, 210, 60, 63), plate(300, 345, 90, 90))


def problems(*plates: Measured) -> tuple[Problem, ...]:
    with pytest.raises(Refused) as caught:
        fit_factors(plates)
    return caught.value.problems


def test_least_squares_through_the_origin_by_hand() -> None:
    # Minutes: (100 x 110 + 200 x 210 + 300 x 345) / (1 + 4 + 9) 10^4 = 156 500 / 140 000 = 1.117857.
    # Grams: (900 + 3780 + 8100) / (900 + 3600 + 8100) = 12 780 / 12 600.
    (factor,) = fit_factors(THREE).values()
    assert factor.minutes == pytest.approx(1.117857, abs=1e-6)
    assert factor.grams == pytest.approx(12_780 / 12_600)


def test_each_plate_shows_its_ratio() -> None:
    (found,) = experience_of(THREE)
    assert found.minutes is not None
    assert found.minutes.ratios == pytest.approx((1.1, 1.05, 1.15))


def test_the_range_for_the_next_plate_by_hand() -> None:
    # Residuals of 1.117857 x: -1.785714, -13.571429, 9.642857; their squares are 280.357, and
    # s = sqrt(280.357 / 2) = 11.8397. t for 80 % and 2 degrees of freedom is 1.885618. For 250 minutes:
    # 279.464 -+ 1.885618 x 11.8397 x sqrt(1 + 62 500 / 140 000) = 22.3252 x 1.202676.
    (found,) = experience_of(THREE)
    assert found.minutes is not None
    assert found.minutes.spread == pytest.approx(11.8397, abs=1e-4)
    low, high = found.minutes.expected(250)
    reach = 1.885618 * 11.8397 * sqrt(1 + 62_500 / 140_000)
    assert (low, high) == pytest.approx((279.464 - reach, 279.464 + reach), abs=1e-3)
    assert reach == pytest.approx(26.850, abs=1e-3)


@given(st.lists(st.tuples(st.floats(20, 900), st.floats(0.7, 1.5)), min_size=3, max_size=12))
def test_least_squares_against_numpy(rows: list[tuple[float, float]]) -> None:
    (found,) = experience_of([plate(x, x * ratio) for x, ratio in rows])
    x = np.array([row[0] for row in rows])
    y = np.array([row[0] * row[1] for row in rows])
    expected, residual, *_ = np.linalg.lstsq(x[:, None], y, rcond=None)
    assert found.minutes is not None
    assert found.minutes.factor == pytest.approx(expected[0])
    assert found.minutes.spread == pytest.approx(np.sqrt(residual[0] / (len(x) - 1)), abs=1e-6)


def test_fewer_than_three_plates_change_nothing() -> None:
    assert fit_factors(THREE[:2]) == {}
    (found,) = experience_of(THREE[:2])
    assert (found.minutes, found.factor.minutes) == (None, 1.0)


def test_printers_and_recipes_apart() -> None:
    other = tuple(replace(each, recipe="PETG", measured_minutes=each.estimated_minutes) for each in THREE)
    found = fit_factors((*THREE, *other))
    assert list(found) == [("Small bed", "standard"), ("Small bed", "PETG")]
    assert found["Small bed", "PETG"].minutes == pytest.approx(1)


def test_failed_plates_count_as_failures_and_not_as_minutes() -> None:
    # 665 minutes without, 55 until it failed: 12 hours, one failure. Exact 80 % limits of a Poisson mean of
    # 1: 0.105361 (1 - exp(-m) = 0.1) and 3.889720 (scipy's chi-squared, 4 degrees of freedom, halved).
    (found,) = experience_of((*THREE, plate(120, 55, 40, 0, failed=True)))
    assert found.minutes == experience_of(THREE)[0].minutes
    hazard = found.hazard
    assert (hazard.failures, hazard.hours, hazard.per_hour) == pytest.approx((1, 12, 1 / 12))
    assert (hazard.low, hazard.high) == pytest.approx((0.105361 / 12, 3.889720 / 12), abs=1e-6)


def test_minutes_of_zero_are_refused() -> None:
    (problem,) = problems(*THREE, plate(took=0))
    assert (problem.field, problem.reason) == (
        "measured.3.measured_minutes",
        "a plate of 0 minutes is no plate",
    )
    assert problem.remedy == "give more than 0 minutes"


def test_grams_of_zero_are_refused_unless_it_failed() -> None:
    (problem,) = problems(plate(weighed=0))
    assert problem.field == "measured.0.measured_g"
    assert experience_of([plate(weighed=0, failed=True)])


@pytest.mark.parametrize("tiny", [1e-3, 1e-200, 5e-324])
def test_amounts_too_small_to_divide_by_are_nothing(tiny: float) -> None:
    """Squares of 1e-200 are 0 in floats: three such plates would have no slope, nor any hours."""
    assert len(problems(*(plate(tiny, tiny, tiny, tiny),) * 3)) == 12


@pytest.mark.parametrize(("took", "said"), [(1200, "10 times more"), (12, "10 times less")])
def test_ten_times_off_asks(took: float, said: str) -> None:
    (problem,) = problems(plate(took=took))
    assert problem.reason == f"{took:,} minutes are {said} than the 120 computed"
    assert "the same plate" in problem.remedy


def test_all_problems_at_once() -> None:
    assert len(problems(plate(took=0), plate(minutes=0), plate(weighed=900))) == 3


def test_it_is_a_document() -> None:
    assert parse(Measured, dump(THREE[0])) == THREE[0]
    with pytest.raises(Refused, match="measured_minutes"):
        parse(Measured, dump(THREE[0]) | {"measured_minutes": "-3"})
