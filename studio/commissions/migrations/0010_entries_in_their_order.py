"""Entries from before get the order in which they were written. Apart from the columns' end, which PostgreSQL
does not allow in the transaction that changes rows."""

import secrets
from typing import Any

from django.apps.registry import Apps
from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

from studio.chain import Line, following

NEW = ("sequence", "kind", "about", "salt", "text_sha256", "chain_sha256")


def put_in_order(apps: Apps, editor: BaseDatabaseSchemaEditor) -> None:
    commissions: Any = apps.get_model("commissions", "Commission")
    for commission in commissions.objects.order_by("pk").iterator():
        _put(commission)


def _put(commission: Any) -> None:
    before = commission.public_id
    for place, entry in enumerate(commission.entries.order_by("pk"), start=1):
        salt = None if entry.text is None else secrets.token_hex(16)
        line = following(place, before, Line(entry.at, entry.by_id, "note", "", entry.text, salt))
        before = line.chain_sha256
        commission.entries.filter(pk=entry.pk).update(**{name: getattr(line, name) for name in NEW})


class Migration(migrations.Migration):
    dependencies = [("commissions", "0009_order_of_entries")]

    operations = [migrations.RunPython(put_in_order, migrations.RunPython.noop)]
