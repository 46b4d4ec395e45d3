"""What a letter tells of can be over while a try is under way. A column that may be empty is added without
making the table anew, so its guards stay."""

from django.db import migrations, models

from studio.guards import refused


class Migration(migrations.Migration):
    dependencies = [("letters", "0001_initial")]

    operations = [
        migrations.AddField(
            model_name="letter", name="over_at", field=models.DateTimeField(editable=False, null=True)
        ),
        refused(
            "letters_letter_over",
            "letters_letter",
            "UPDATE",
            "OLD.over_at IS NOT NULL AND"
            " (NEW.state = 'waiting' AND OLD.state <> 'waiting' OR OLD.over_at {differs} NEW.over_at)",
            "does not wait again once what it tells of is over",
        ),
    ]
