from django.db import migrations

from studio.guards import frozen_columns, gone, never_deleted

KEPT = ("id", "issue_id", "link_id", "at")


class Migration(migrations.Migration):
    dependencies = [("proposals", "0009_messages_become_entries")]

    operations = [
        *gone(never_deleted("proposals_message")),
        *gone(frozen_columns("proposals_message", KEPT, may_be_emptied=("text",))),
        migrations.DeleteModel("Message"),
    ]
