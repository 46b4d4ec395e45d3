"""How long the dates take: 200 plates over 4 printers, with all seeded courses."""

from datetime import date

from pytest_benchmark.fixture import BenchmarkFixture

from studio.making.calendar import Dates, schedule
from studio.making.plan import MakingPlan, Plate
from studio.making.shop import ShopState
from tests.making.made import printer


def dates(plan: MakingPlan) -> Dates:
    return schedule(plan, 600, 6000, 400, ShopState(), date(2026, 3, 2), [printer(count=4)], 0.01)


def test_200_plates_over_4_printers(benchmark: BenchmarkFixture) -> None:
    plates = tuple(Plate("Small bed", "Tea", (), 1, 60.0 + 4 * n, 100.0, 0.5) for n in range(200))
    found = benchmark(dates, MakingPlan(plates, 0.0, 0.0, {}, {}, (), 0.0))
    assert found.held_on >= found.ready_on
