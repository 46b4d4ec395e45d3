"""What was typed as promised, and what lay on the shelf, become movements: those of the newest state of the
workshop that can be read. One that cannot is left as it is, and the calendar's page goes on saying so."""

import json
from collections import Counter
from typing import Any

from django.apps.registry import Apps
from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

from studio.ids import new_public_id
from studio.making.booked import Amounts, Kind, in_hundredths
from studio.making.shop import Promise
from studio.stored.jobs_apart import HeldOnce, held_once
from studio.stored.kinds import SHOP

GRAMS = "by-hand-grams"


def carry_over(apps: Apps, editor: BaseDatabaseSchemaEditor) -> None:
    for revision in apps.get_model("workshop", "ShopRevision").objects.order_by("-pk"):
        if (held := _held(revision.document)) is not None:
            _stock(apps, held, revision)
            _jobs(apps, held, revision)
            return


def _held(text: str) -> HeldOnce | None:
    try:
        values = json.loads(text)
    except ValueError:
        return None
    return held_once(values) if SHOP.readable(values) else None


def _stock(apps: Apps, held: HeldOnce, revision: Any) -> None:
    movement = apps.get_model("workshop", "StockMovement").objects
    shelf: Counter[str] = Counter()
    for row in held.stock:
        shelf[row.filament] += in_hundredths(row.shelf_g)
    for filament, hundredths_g in shelf.items():
        if hundredths_g:
            movement.create(
                filament=filament, hundredths_g=hundredths_g, why="opening", key=f"opening {filament}"[:100],
                at=revision.recorded_at, by_id=revision.by_id,
            )  # fmt: skip


def _jobs(apps: Apps, held: HeldOnce, revision: Any) -> None:
    grams: Counter[tuple[Kind, str]] = Counter()
    for row in held.stock:
        grams["grams", row.filament] += in_hundredths(row.promised_g)
    if any(grams.values()):
        _book(apps, GRAMS, "", grams, revision)
    for job in held.promised:
        _book(apps, f"by-hand-{new_public_id()}", job.text, _taken_by(job), revision)


def _taken_by(job: Promise) -> Amounts:
    printer, people = (in_hundredths(60 * hours) for hours in (job.printer_hours, job.people_hours))
    return {("printer minutes", job.printer): printer, ("people minutes", ""): people}


def _book(apps: Apps, source: str, words: str, amounts: Amounts, revision: Any) -> None:
    model, when = apps.get_model, {"at": revision.recorded_at, "by_id": revision.by_id}
    booking = model("workshop", "Booking").objects.create(source=source, words=words, by_hand=True, **when)
    step = model("workshop", "BookingStep").objects.create(
        booking=booking, sequence=1, key=f"{source} carried over", state="firm", **when
    )
    for (kind, name), hundredths in amounts.items():
        if hundredths:
            model("workshop", "BookingMovement").objects.create(
                step=step, kind=kind, name=name, hundredths=hundredths
            )


class Migration(migrations.Migration):
    dependencies = [("workshop", "0004_bookings")]
    operations = [migrations.RunPython(carry_over, migrations.RunPython.noop, elidable=False)]
