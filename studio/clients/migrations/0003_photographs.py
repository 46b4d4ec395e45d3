import django.db.models.deletion
import django.db.models.functions.text
import django.db.models.lookups
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models

import studio.ids
from studio.guards import frozen_columns, never_deleted


class Migration(migrations.Migration):
    dependencies = [
        ("clients", "0002_touched"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="Photograph",
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
                ("image", models.BinaryField(null=True)),
                ("sha256", models.CharField(max_length=64)),
                ("width_px", models.PositiveIntegerField()),
                ("height_px", models.PositiveIntegerField()),
                ("at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
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
                    "space",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="photographs",
                        to="clients.space",
                    ),
                ),
            ],
            options={
                "ordering": ("pk",),
                "constraints": [
                    models.CheckConstraint(
                        condition=django.db.models.lookups.LessThanOrEqual(
                            django.db.models.functions.text.Length("image"), 1500000
                        ),
                        name="photograph_not_too_large",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("height_px__gte", 1), ("width_px__gte", 1)),
                        name="photograph_has_pixels",
                    ),
                ],
            },
        ),
        *never_deleted("clients_photograph"),
        *frozen_columns(
            "clients_photograph",
            ("id", "public_id", "space_id", "sha256", "width_px", "height_px", "at", "by_id"),
            may_be_emptied=("image",),
        ),
    ]
