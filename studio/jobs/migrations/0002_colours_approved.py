import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import studio.ids
from studio.guards import frozen_columns, never_deleted, refused

KEPT = ("id", "public_id", "decision_id", "approved_on", "how", "takes_back_id", "at", "by_id")
OF_A_YES = "SELECT 1 FROM proposals_decision yes WHERE yes.id = NEW.decision_id AND yes.answer = 'approved'"
SAME = (
    "SELECT 1 FROM jobs_coloursapproved wrong WHERE wrong.id = NEW.takes_back_id"
    " AND wrong.decision_id = NEW.decision_id AND wrong.takes_back_id IS NULL"
)


class Migration(migrations.Migration):
    dependencies = [
        ("jobs", "0001_initial"),
        ("proposals", "0012_days_of_what_is_sold"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="ColoursApproved",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "public_id",
                    models.CharField(
                        default=studio.ids.new_public_id, editable=False, max_length=12, unique=True
                    ),
                ),
                ("approved_on", models.DateField()),
                ("who", models.CharField(max_length=200, null=True)),
                (
                    "how",
                    models.CharField(
                        choices=[
                            ("samples", "after samples by post"),
                            ("studio", "in the studio"),
                            ("space", "in the space"),
                            ("writing", "in writing, without samples"),
                        ],
                        max_length=10,
                    ),
                ),
                ("at", models.DateTimeField()),
                (
                    "by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "decision",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="colours",
                        to="proposals.decision",
                    ),
                ),
                (
                    "takes_back",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="taken_back_by",
                        to="jobs.coloursapproved",
                    ),
                ),
            ],
            options={
                "ordering": ("pk",),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("how__in", ("samples", "studio", "space", "writing"))),
                        name="how_colours_are_known",
                    )
                ],
            },
        ),
        *never_deleted("jobs_coloursapproved"),
        *frozen_columns("jobs_coloursapproved", KEPT, may_be_emptied=("who",)),
        refused(
            "jobs_coloursapproved_of_a_yes",
            "jobs_coloursapproved",
            "INSERT",
            f"NOT EXISTS ({OF_A_YES}) OR NEW.takes_back_id IS NOT NULL AND NOT EXISTS ({SAME})",
            "is of a yes, and takes back none but an approval of it",
        ),
    ]
