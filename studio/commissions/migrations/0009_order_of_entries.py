from django.db import migrations, models


class Migration(migrations.Migration):
    """Columns that may be empty yet, so that the table is not made anew and its guards stand."""

    dependencies = [("commissions", "0008_variations")]

    operations = [
        migrations.AddField("entry", "sequence", models.PositiveIntegerField(null=True)),
        migrations.AddField("entry", "kind", models.CharField(max_length=15, null=True)),
        migrations.AddField("entry", "about", models.CharField(max_length=60, null=True)),
        migrations.AddField("entry", "salt", models.CharField(max_length=32, null=True)),
        migrations.AddField("entry", "text_sha256", models.CharField(max_length=64, null=True)),
        migrations.AddField("entry", "chain_sha256", models.CharField(max_length=64, null=True)),
    ]
