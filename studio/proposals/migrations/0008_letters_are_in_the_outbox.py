import django.db.models.deletion
from django.db import migrations, models

from studio.guards import again, frozen_columns, never_deleted


class Migration(migrations.Migration):
    dependencies = [("proposals", "0007_letters_into_the_outbox")]

    operations = [
        migrations.AlterField(
            model_name="letter",
            name="outbox",
            field=models.OneToOneField(
                on_delete=django.db.models.deletion.PROTECT, related_name="+", to="letters.letter"
            ),
        ),
        migrations.RemoveField(model_name="letter", name="receiver"),
        migrations.RemoveField(model_name="letter", name="sent_at"),
        migrations.RemoveField(model_name="letter", name="by"),
        *again(
            [
                *never_deleted("proposals_letter"),
                *frozen_columns("proposals_letter", ("id", "link_id", "outbox_id")),
            ]
        ),
    ]
