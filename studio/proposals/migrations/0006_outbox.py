import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("letters", "0001_initial"), ("proposals", "0005_what_may_follow_what")]

    operations = [
        migrations.AddField(
            model_name="letter",
            name="outbox",
            field=models.OneToOneField(
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="letters.letter",
            ),
        ),
    ]
