from django.db import migrations


class Migration(migrations.Migration):
    dependencies = [("commissions", "0006_notes_become_entries")]

    operations = [migrations.RemoveField(model_name="commission", name="said")]
