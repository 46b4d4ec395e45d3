from django.conf import settings
from django.db import migrations, models

from studio.guards import frozen_columns, never_deleted, refused

KEPT = ("id", "decision_id", "what", "sequence", "day", "from_time", "at", "by_id")
OF_A_YES = "SELECT 1 FROM proposals_decision yes WHERE yes.id = NEW.decision_id AND yes.answer = 'approved'"


class Migration(migrations.Migration):
    dependencies = [
        ("proposals", "0012_days_of_what_is_sold"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="Appointment",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "what",
                    models.CharField(
                        choices=[("delivery", "Delivery"), ("hanging", "Hanging")], max_length=10
                    ),
                ),
                ("sequence", models.PositiveSmallIntegerField()),
                ("day", models.DateField(null=True)),
                ("from_time", models.TimeField(null=True)),
                ("whom", models.CharField(max_length=200, null=True)),
                ("note", models.TextField(max_length=2000, null=True)),
                ("at", models.DateTimeField()),
                (
                    "by",
                    models.ForeignKey(
                        null=True, on_delete=models.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "decision",
                    models.ForeignKey(
                        on_delete=models.PROTECT, related_name="appointments", to="proposals.decision"
                    ),
                ),
            ],
            options={
                "ordering": ("pk",),
                "constraints": [
                    models.UniqueConstraint(
                        fields=("decision", "what", "sequence"), name="one_appointment_at_a_time"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("what__in", ("delivery", "hanging"))), name="visit_known"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("day__isnull", False), ("from_time", None), _connector="OR"),
                        name="no_time_without_a_day",
                    ),
                ],
            },
        ),
        *never_deleted("proposals_appointment"),
        *frozen_columns("proposals_appointment", KEPT, may_be_emptied=("whom", "note")),
        refused(
            "proposals_appointment_of_a_yes",
            "proposals_appointment",
            "INSERT",
            f"NOT EXISTS ({OF_A_YES})",
            "is of a yes",
        ),
    ]
