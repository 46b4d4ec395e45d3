"""What clients wrote by their links follows the entries that their commissions have."""

import secrets
from dataclasses import asdict
from typing import Any

from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

from studio.chain import Line, following


def carry_over(apps: Any, editor: BaseDatabaseSchemaEditor) -> None:
    written = (
        apps.get_model("proposals", "Message")
        .objects.select_related("issue__proposal__commission")
        .defer(
            "issue__figures",
            "issue__parties",
            "issue__drawings",
            "issue__making",
            "issue__costs",
            "issue__pdf",
        )
    )
    for message in written.order_by("at", "pk").iterator():
        _append(apps.get_model("commissions", "Entry"), message)


def _append(entries: Any, message: Any) -> None:
    commission = message.issue.proposal.commission
    last = entries.objects.filter(commission=commission).order_by("-sequence").first()
    place, before = (last.sequence, last.chain_sha256) if last else (0, commission.public_id)
    about = f"{message.issue.public_id} by link {message.link_id}"
    salt = None if message.text is None else secrets.token_hex(16)
    line = Line(message.at, None, "from the client", about, message.text, salt)
    entries.objects.create(commission=commission, **asdict(following(place + 1, before, line)))


class Migration(migrations.Migration):
    dependencies = [
        ("proposals", "0008_letters_are_in_the_outbox"),
        ("commissions", "0011_no_entry_out_of_order"),
    ]

    operations = [migrations.RunPython(carry_over, migrations.RunPython.noop)]
