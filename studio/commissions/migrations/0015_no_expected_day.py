from django.db import migrations


class Migration(migrations.Migration):
    """Nothing ever wrote one."""

    dependencies = [("commissions", "0014_wanted_on")]

    operations = [migrations.RemoveField("commission", "expected_on")]
