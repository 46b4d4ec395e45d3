"""Processes of their own, each with its connection, move the same jobs and the same shelf at once: what is
repeated moves once, no step is lost, sums are those of what was said last."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.processes import environment, run, started_together

PROCESSES, TIMES = 3, 8
WORKER = """
import json, sys
import django
django.setup()
from studio.making.booked import amounts
from studio.workshop.bookings import move
from studio.workshop.models import StockMovement
from studio.workshop.stock import counted, move_stock, shelf

worker, times = int(sys.argv[1]), int(sys.argv[2])
print("ready", flush=True)
sys.stdin.readline()
steps = []
for time in range(times):
    same = move("same keys", f"key {time}", "firm", amounts(grams={"Tea": time + 1}))
    own = 1000 * worker + time + 1
    step = move("own keys", f"{worker} {time}", "firm", amounts(grams={"Moss": own}, van_days=own))
    move_stock("Tea", 100, StockMovement.Why.BOUGHT, f"bought {time}", by=None)
    move_stock("Tea", -1, StockMovement.Why.USED, f"used {worker} {time}", by=None)
    counted("Oak", 1000 * worker + time, None)
    steps.append([same.pk, step.sequence])
print(json.dumps(steps))
"""
TOLD = """
import json
import django
django.setup()
from studio.workshop.models import BookingMovement, BookingStep, StockMovement
steps = BookingStep.objects.select_related("booking").order_by("booking__source", "sequence")
moved = BookingMovement.objects.values_list("step__booking__source", "kind", "name", "hundredths")
stock = StockMovement.objects.order_by("pk").values_list("filament", "hundredths_g", "why")
told = [[s.booking.source, s.sequence, s.key] for s in steps], list(moved), list(stock)
print(json.dumps(told))
"""


@pytest.fixture
def shared(transactional_db: None, tmp_path: Path) -> dict[str, str]:
    return environment(tmp_path)


def test_nothing_is_lost_and_nothing_moves_twice(shared: dict[str, str]) -> None:
    workers = [run(shared, WORKER, str(number), str(TIMES)) for number in range(PROCESSES)]
    said = started_together(workers)
    found = [json.loads(text) for text in said]
    assert len({tuple(pk for pk, _sequence in steps) for steps in found}) == 1  # the same rows for all
    own = sorted(sequence for steps in found for _pk, sequence in steps)
    assert own == list(range(1, PROCESSES * TIMES + 1))

    with run(shared, TOLD) as reader:
        steps, moved, stock = json.loads(reader.communicate()[0])
    _steps_follow_one_another(steps)
    last = {source: key for source, _sequence, key in steps}
    sums = _sums(((source, kind, name), hundredths) for source, kind, name, hundredths in moved)
    told = 100 * (1 + int(last["same keys"].split()[-1]))
    number, time = map(int, last["own keys"].split())
    grams = 100 * (1000 * number + time + 1)
    assert sums == {
        ("same keys", "grams", "Tea"): told,
        ("own keys", "grams", "Moss"): grams,
        ("own keys", "van days", ""): grams,
    }
    _shelf_is_what_was_said_last(stock)


def _steps_follow_one_another(steps: list[tuple[str, int, str]]) -> None:
    counts = {"same keys": TIMES, "own keys": PROCESSES * TIMES}
    for source, count in counts.items():
        assert [sequence for each, sequence, _key in steps if each == source] == list(range(1, count + 1))


def _shelf_is_what_was_said_last(stock: list[tuple[str, int, str]]) -> None:
    tea = [hundredths for filament, hundredths, _why in stock if filament == "Tea"]
    assert sorted(tea) == [-1] * PROCESSES * TIMES + [100] * TIMES
    lies, counts = 0, [1000 * worker + time for worker in range(PROCESSES) for time in range(TIMES)]
    for _filament, hundredths, _why in (row for row in stock if row[0] == "Oak"):
        lies += hundredths
        assert lies in counts  # each count holds when it is made, whoever counted before


def _sums(rows: Any) -> dict[Any, int]:
    found: dict[Any, int] = {}
    for key, hundredths in rows:
        found[key] = found.get(key, 0) + hundredths
    return found
