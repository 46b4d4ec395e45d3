from django.db import migrations, models

from studio.guards import again, frozen_columns, refused

FROZEN = (
    "id", "public_id", "proposal_id", "client_id", "number", "figures", "drawings", "making", "costs",
    "figures_sha256", "parties_sha256", "pdf_sha256", "seal", "schema", "engine", "issued_at", "by_id",
    "valid_until",
)  # fmt: skip


class Migration(migrations.Migration):
    """Issues of schema 1 have neither document: nothing is worked out for them afterwards."""

    dependencies = [("proposals", "0001_initial")]

    operations = [
        migrations.AddField("proposalissue", "making", models.BinaryField(null=True)),
        migrations.AddField("proposalissue", "costs", models.BinaryField(null=True)),
        *again(frozen_columns("proposals_proposalissue", FROZEN, may_be_emptied=("parties", "pdf"))),
        refused(
            "proposals_proposalissue_whole",
            "proposals_proposalissue",
            "INSERT",
            "(NEW.schema > 1) <> (NEW.making IS NOT NULL) OR (NEW.schema > 1) <> (NEW.costs IS NOT NULL)",
            "has making and costs from schema 2 on",
        ),
    ]
