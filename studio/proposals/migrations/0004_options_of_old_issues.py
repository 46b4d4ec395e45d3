"""What issues from before offered, from their frozen figures. Apart from the guards: PostgreSQL does not put
them up in the transaction that adds rows."""

import json
from collections.abc import Iterator
from contextlib import suppress
from decimal import Decimal, InvalidOperation
from typing import Any

from django.apps.registry import Apps
from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

from studio.money import to_minor


def carry_over(apps: Apps, editor: BaseDatabaseSchemaEditor) -> None:
    issues = apps.get_model("proposals", "ProposalIssue").objects.only("figures")
    offered = apps.get_model("proposals", "IssuedOption").objects
    for issue in issues.order_by("pk").iterator():
        # damaged: it cannot be decided, and its page says so
        with suppress(ValueError, KeyError, TypeError, InvalidOperation):
            offered.bulk_create([offered.model(issue=issue, **row) for row in _offered(bytes(issue.figures))])


def _offered(figures: bytes) -> Iterator[dict[str, Any]]:
    found = json.loads(figures)
    currency = found["currency"]
    for option in found["options"]:
        gross_minor = to_minor(Decimal(option["estimate"]["gross"]), currency)
        yield {"letter": option["letter"], "currency": currency, "gross_minor": gross_minor}


class Migration(migrations.Migration):
    dependencies = [("proposals", "0003_many_proposals")]

    operations = [migrations.RunPython(carry_over, migrations.RunPython.noop)]
