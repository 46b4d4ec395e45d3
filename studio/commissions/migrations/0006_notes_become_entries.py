"""What a commission's notes held becomes its first entry. Apart from the column's end, which PostgreSQL does
not allow in the transaction that adds rows."""

from collections.abc import Iterator
from typing import Any

from django.apps.registry import Apps
from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor


def carry_over(apps: Apps, editor: BaseDatabaseSchemaEditor) -> None:
    commission, entries = (
        apps.get_model("commissions", "Commission"),
        apps.get_model("commissions", "Entry").objects,
    )
    noted: Iterator[Any] = commission.objects.order_by("pk").iterator()  # its columns are those of then
    for each in noted:
        if each.said.strip():
            entries.create(
                commission=each, at=each.created_at, by_id=each.by_id, text=each.said, carried_over=True
            )


class Migration(migrations.Migration):
    dependencies = [("commissions", "0005_entries")]

    operations = [migrations.RunPython(carry_over, migrations.RunPython.noop)]
