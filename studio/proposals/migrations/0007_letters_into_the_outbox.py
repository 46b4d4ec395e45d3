"""Letters that left before there was an outbox: to whom, when and by whom, as sent. Their words were not
kept. Apart from the columns' end, which PostgreSQL does not allow in the transaction that adds rows."""

from collections.abc import Iterator
from typing import Any

from django.apps.registry import Apps
from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor


def carry_over(apps: Apps, editor: BaseDatabaseSchemaEditor) -> None:
    letters = apps.get_model("proposals", "Letter").objects
    outbox = apps.get_model("letters", "Letter").objects
    written: Iterator[Any] = letters.select_related("link__issue").order_by("pk").iterator()
    for each in written:
        source = f"proposal issue {each.link.issue.public_id}"
        number = letters.filter(link__issue=each.link.issue, pk__lte=each.pk).count()
        row = outbox.create(
            key=f"{source}, letter {number}",
            source=source,
            receiver=each.receiver,
            at=each.sent_at,
            by_id=each.by_id,
            state="sent",
            tries=1,
            due_at=each.sent_at,
            changed_at=each.sent_at,
        )
        letters.filter(pk=each.pk).update(outbox=row)


class Migration(migrations.Migration):
    dependencies = [("proposals", "0006_outbox")]

    operations = [migrations.RunPython(carry_over, migrations.RunPython.noop)]
