from django.db import migrations, models

from studio.guards import again, frozen_columns, never_deleted, refused

TABLE = "commissions_entry"
KINDS = ("note", "from the client", "to the client", "event")
FROZEN = (
    "id", "commission_id", "sequence", "kind", "about", "at", "by_id", "text_sha256", "chain_sha256",
    "carried_over",
)  # fmt: skip


class Migration(migrations.Migration):
    dependencies = [("commissions", "0010_entries_in_their_order")]

    operations = [
        migrations.AlterField("entry", "sequence", models.PositiveIntegerField()),
        migrations.AlterField(
            "entry",
            "kind",
            models.CharField(max_length=15, choices=[(kind, kind) for kind in KINDS], default="note"),
        ),
        migrations.AlterField("entry", "about", models.CharField(blank=True, max_length=60)),
        migrations.AlterField("entry", "text_sha256", models.CharField(blank=True, max_length=64)),
        migrations.AlterField("entry", "chain_sha256", models.CharField(max_length=64)),
        migrations.AlterModelOptions("entry", {"ordering": ("commission_id", "sequence")}),
        migrations.AddConstraint(
            "entry",
            models.UniqueConstraint(fields=("commission", "sequence"), name="one_entry_per_sequence"),
        ),
        migrations.AddConstraint(
            "entry",
            models.CheckConstraint(condition=models.Q(kind__in=KINDS), name="entry_kind_known"),
        ),
        migrations.AddConstraint(
            "entry",
            models.CheckConstraint(
                condition=models.Q(text=None, salt=None) | models.Q(text__isnull=False, salt__isnull=False),
                name="a_text_goes_with_its_salt",
            ),
        ),
        *again([*never_deleted(TABLE), *frozen_columns(TABLE, FROZEN, may_be_emptied=("text", "salt"))]),
        refused(
            f"{TABLE}_next",
            TABLE,
            "INSERT",
            "NEW.sequence <> 1 + (SELECT COALESCE(MAX(sequence), 0) FROM commissions_entry"
            " WHERE commission_id = NEW.commission_id)",
            "has no gap in its sequence",
        ),
    ]
