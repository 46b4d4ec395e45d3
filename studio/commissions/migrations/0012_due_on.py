from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("commissions", "0011_no_entry_out_of_order")]

    operations = [
        migrations.AddField("commission", "due_on", models.DateField(null=True, editable=False)),
    ]
