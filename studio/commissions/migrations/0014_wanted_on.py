from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("commissions", "0013_known_ranges")]

    operations = [
        migrations.AddField("commission", "wanted_on", models.DateField(null=True, blank=True)),
    ]
