import uuid

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from studio.guards import frozen_columns, never_deleted, refused

FOLLOWS = (
    ("waiting", "sending"),
    ("waiting", "dropped"),
    ("sending", "sent"),
    ("sending", "waiting"),
    ("sending", "perhaps sent"),
    ("sending", "failed"),
    ("sending", "dropped"),
    ("perhaps sent", "waiting"),
    ("perhaps sent", "sent"),
    ("failed", "waiting"),
    ("failed", "dropped"),
)
FOLLOWING = " OR ".join(f"OLD.state = '{old}' AND NEW.state = '{new}'" for old, new in FOLLOWS)


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="Letter",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("public_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("key", models.CharField(max_length=120, unique=True)),
                ("source", models.CharField(db_index=True, max_length=60)),
                ("receiver", models.EmailField(max_length=254, null=True)),
                ("subject", models.TextField(null=True)),
                ("body", models.TextField(null=True)),
                ("reply_to", models.EmailField(blank=True, max_length=254)),
                ("at", models.DateTimeField()),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("waiting", "waiting"),
                            ("sending", "being sent"),
                            ("sent", "sent"),
                            ("perhaps sent", "perhaps sent"),
                            ("failed", "not sent"),
                            ("dropped", "dropped"),
                        ],
                        default="waiting",
                        max_length=12,
                    ),
                ),
                ("tries", models.PositiveIntegerField(default=0)),
                ("due_at", models.DateTimeField()),
                ("changed_at", models.DateTimeField()),
                ("answer", models.TextField(null=True)),
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
                    "settled_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ("pk",),
            },
        ),
        migrations.CreateModel(
            name="Attachment",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=120, null=True)),
                ("kind", models.CharField(max_length=60, verbose_name="media type")),
                ("content", models.BinaryField(null=True)),
                (
                    "letter",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="attachments",
                        to="letters.letter",
                    ),
                ),
            ],
            options={
                "ordering": ("pk",),
            },
        ),
        migrations.AddConstraint(
            model_name="letter",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("state__in", ("waiting", "sending", "sent", "perhaps sent", "failed", "dropped"))
                ),
                name="letter_state_known",
            ),
        ),
        migrations.AddConstraint(
            model_name="letter",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("state", "waiting"), _negated=True),
                    models.Q(("receiver__isnull", False), ("subject__isnull", False)),
                    _connector="OR",
                ),
                name="a_waiting_letter_can_be_sent",
            ),
        ),
        *never_deleted("letters_letter"),
        *frozen_columns(
            "letters_letter",
            ("id", "public_id", "key", "source", "reply_to", "at", "by_id"),
            may_be_emptied=("receiver", "subject", "body"),
        ),
        refused(
            "letters_letter_follows",
            "letters_letter",
            "UPDATE",
            f"OLD.state <> NEW.state AND NOT ({FOLLOWING})",
            "does not go from the one state to the other",
        ),
        *never_deleted("letters_attachment"),
        *frozen_columns(
            "letters_attachment", ("id", "letter_id", "kind"), may_be_emptied=("name", "content")
        ),
    ]
