from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("commissions", "0012_due_on")]

    operations = [
        migrations.AddField("commission", "wanted_on", models.DateField(null=True, blank=True)),
    ]
