"""How long the dates take: 200 plates over 4 printers, with all seeded courses."""

from datetime import date

from pytest_benchmark.fixture import BenchmarkFixture

from studio.making.calendar import Dates, schedule
from studio.making.plan import Plate
from studio.making.shop import ShopState
from studio.making.to_make import ToMake
from tests.making.made import printer


def dates(plates: tuple[Plate, ...]) -> Dates:
    job = ToMake(plates, before=600, after=6000, site=400)
    return schedule(job, ShopState(), date(2026, 3, 2), [printer(count=4)], 0.01)


def test_200_plates_over_4_printers(benchmark: BenchmarkFixture) -> None:
    plates = tuple(Plate("Small bed", "Tea", (), 1, 60.0 + 4 * n, 100.0, 0.5) for n in range(200))
    found = benchmark(dates, plates)
    assert found.held_on >= found.ready_on
