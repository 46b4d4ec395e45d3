from django.db import migrations, models


def none_where_none_was_given(apps, _schema):
    """0 stood there unasked, and read as no distance."""
    apps.get_model("clients", "Client").objects.filter(distance_km=0).update(distance_km=None)


class Migration(migrations.Migration):
    dependencies = [("clients", "0003_photographs")]

    operations = [
        migrations.AlterField(
            model_name="client",
            name="distance_km",
            field=models.DecimalField(decimal_places=1, help_text="one way", max_digits=7, null=True),
        ),
        migrations.RunPython(none_where_none_was_given, migrations.RunPython.noop),
    ]
