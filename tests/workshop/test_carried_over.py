"""A kept database whose workshop has typed promises: they become movements, and no date moves."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from studio.commissions.estimating import estimate_option
from studio.commissions.models import Option
from studio.making.shop import Promise, ShopState, Stock
from studio.stored.door import Unreadable
from studio.workshop.by_hand import job_lines
from studio.workshop.clock import today
from studio.workshop.models import Booking, BookingStep, ShopRevision, StockMovement
from studio.workshop.shop import current_shop, readable_calendar
from tests.released.kept import RELEASES, brought_up, read_kept

pytestmark = pytest.mark.database

TYPED: dict[str, Any] = {
    "curing_days": 4,
    "people_hours_per_day": 6.0,
    "stock": [
        {"filament": "Tea", "shelf_g": 800.25, "promised_g": 120.0},
        {"filament": "Indigo", "shelf_g": 0.0, "promised_g": 50.0},
        {"filament": "Chalk", "shelf_g": 300.0, "promised_g": 0.0},
    ],
    "promised": [
        {"text": "Fern screen", "printer": "Small bed", "printer_hours": 30.5, "people_hours": 6.0},
        {"text": "Reed screen", "printer": "Large bed", "printer_hours": 12.0, "people_hours": 0.0},
        {"text": "Packing for the fair", "printer": "Small bed", "printer_hours": 0, "people_hours": 3.25},
    ],
}
OLDER = {**TYPED, "promised": [{"printer": "Small bed", "printer_hours": 999}]}
AS_IT_WAS = ShopState(
    curing_days=4,
    people_hours_per_day=6,
    stock=tuple(Stock(**row) for row in TYPED["stock"]),
    promised=tuple(Promise(**row) for row in TYPED["promised"]),
)
"""What an estimate was given before there were movements."""


def with_states(*documents: str) -> dict[str, Any]:
    kept = read_kept(RELEASES[0])
    rows = kept["rows"]["workshop.shoprevision"]
    first = 1 + max(row["pk"] for row in rows)
    for pk, document in enumerate(documents, first):
        rows.append({"pk": pk, "fields": {**rows[-1]["fields"], "document": document}})
    return kept


@pytest.fixture(scope="module", params=["the newest is read", "the newest is cut short"])
def newest(
    request: pytest.FixtureRequest, django_db_setup: None, django_db_blocker: Any, tmp_path_factory: Any
) -> Iterator[str]:
    documents = [json.dumps(OLDER), json.dumps(TYPED)]
    if request.param == "the newest is cut short":
        documents += [json.dumps({**TYPED, "stock": "none"}), json.dumps(TYPED)[:-3]]
    folder: Path = tmp_path_factory.mktemp("carried")
    with django_db_blocker.unblock(), brought_up(with_states(*documents), folder):
        yield request.param


def test_typed_promises_and_the_shelf_are_movements(newest: str) -> None:
    assert [tuple(line.values())[:-1] for line in job_lines()] == [
        ("Fern screen", "Small bed", "30.5", "6"),
        ("Reed screen", "Large bed", "12", "0"),
        ("Packing for the fair", "", "0", "3.25"),
    ]
    moved = StockMovement.objects.values_list("filament", "hundredths_g", "why")
    assert list(moved) == [("Tea", 80_025, "opening"), ("Chalk", 30_000, "opening")]
    assert Booking.objects.filter(by_hand=True).count() == Booking.objects.count() == 4
    carried = ShopRevision.objects.get(document=json.dumps(TYPED))
    assert {(step.by_id, step.at) for step in BookingStep.objects.all()} == {
        (carried.by_id, carried.recorded_at)
    }


def test_no_date_moves(newest: str) -> None:
    """Of options that are priced, from the workshop as it was read and as it is summed."""
    if newest == "the newest is cut short":
        with pytest.raises(Unreadable):
            current_shop(today())
        assert readable_calendar()[0].curing_days == 4
        return
    now, counted = current_shop(today()), 0
    for option in Option.objects.exclude(gross_minor=None):
        before, after = (estimate_option(option, today(), shop) for shop in (AS_IT_WAS, now))
        assert before.dates == after.dates
        assert before.price == after.price
        assert [each.spools_to_buy for each in before.plan.filaments] == [
            each.spools_to_buy for each in after.plan.filaments
        ]
        without = estimate_option(option, today(), ShopState(curing_days=4, people_hours_per_day=6))
        assert without.dates.printed_on < after.dates.printed_on  # the promises are felt
        counted += 1
    assert counted >= 3


def test_every_older_document_stays_as_it_was(newest: str) -> None:
    assert ShopRevision.objects.filter(document=json.dumps(OLDER)).count() == 1
