"""What is sold already is due on its final day, else on the day that was agreed, else on the one of its
figures, from before the agreed one was written down."""

import json

from django.apps.registry import Apps
from django.db import migrations


def due(apps: Apps, _editor: object) -> None:
    decisions = apps.get_model("proposals", "Decision").objects.filter(answer="approved")
    for decision in decisions.select_related("proposal", "issue", "release").order_by("proposal__place"):
        release = getattr(decision, "release", None)
        day = release.final_on if release else decision.agreed_on or _issued(decision)
        work = apps.get_model("commissions", "Commission").objects
        work.filter(pk=decision.proposal.commission_id).update(due_on=day)


def _issued(decision: object) -> str:
    figures = json.loads(bytes(decision.issue.figures))  # type: ignore[attr-defined]
    options = {option["letter"]: option["estimate"] for option in figures["options"]}
    found = options[decision.letter]  # type: ignore[attr-defined]
    return str(found.get("held_on", found["ready_on"]))


class Migration(migrations.Migration):
    dependencies = [("proposals", "0011_agreed_working_days"), ("commissions", "0012_due_on")]

    operations = [migrations.RunPython(due, migrations.RunPython.noop)]
