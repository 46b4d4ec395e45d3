"""A yes keeps the working days that were agreed. Where no day could be named it has none, and is a yes."""

from django.db import migrations, models

from studio.guards import again, frozen_columns, gone, refused

KEPT = (
    "id", "issue_id", "proposal_id", "answer", "letter", "currency", "gross_minor", "how", "seal", "said_on",
    "agreed_on", "agreed_days", "at", "by_id",
)  # fmt: skip
AGREES = "proposals_decision_agrees_to_a_day", "proposals_decision", "INSERT"


class Migration(migrations.Migration):
    dependencies = [("proposals", "0010_no_messages")]

    operations = [
        migrations.AddField("decision", "agreed_days", models.PositiveIntegerField(null=True)),
        *again(frozen_columns("proposals_decision", KEPT, may_be_emptied=("person",))),
        *gone([refused(*AGREES, "", "")]),
        refused(
            "proposals_decision_agrees_to_days",
            "proposals_decision",
            "INSERT",
            "(NEW.answer = 'approved') <> (NEW.agreed_days IS NOT NULL)"
            " OR NEW.answer <> 'approved' AND NEW.agreed_on IS NOT NULL",
            "agrees to working days where it is a yes, and to a day in no other",
        ),
    ]
