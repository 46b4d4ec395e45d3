import django.db.models.deletion
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models

from studio.guards import frozen_columns, never_deleted


class Migration(migrations.Migration):
    dependencies = [
        ("commissions", "0004_touched"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="Entry",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ("text", models.TextField(max_length=20000, null=True)),
                ("carried_over", models.BooleanField(default=False, editable=False)),
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
                    "commission",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="entries",
                        to="commissions.commission",
                    ),
                ),
            ],
            options={"ordering": ("pk",)},
        ),
        *never_deleted("commissions_entry"),
        *frozen_columns(
            "commissions_entry",
            ("id", "commission_id", "at", "by_id", "carried_over"),
            may_be_emptied=("text",),
        ),
    ]
