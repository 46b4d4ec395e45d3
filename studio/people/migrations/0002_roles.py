"""Three roles: a maker of before is a designer, who may do all that a maker could but rates and erasing."""

from django.apps.registry import Apps
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor


def renamed(old: str, new: str):
    def rename(apps: Apps, editor: BaseDatabaseSchemaEditor) -> None:
        apps.get_model("people", "User").objects.filter(role=old).update(role=new)

    return rename


class Migration(migrations.Migration):
    dependencies = [("people", "0001_initial")]

    operations = [
        migrations.RemoveConstraint(model_name="user", name="user_role_is_known"),
        migrations.AlterField(
            model_name="user",
            name="role",
            field=models.CharField(
                choices=[("owner", "Owner"), ("designer", "Designer"), ("workshop", "Workshop")],
                default="designer",
                max_length=10,
            ),
        ),
        migrations.RunPython(renamed("maker", "designer"), renamed("designer", "maker")),
        migrations.AddConstraint(
            model_name="user",
            constraint=models.CheckConstraint(
                condition=models.Q(("role__in", ["owner", "designer", "workshop"])), name="user_role_is_known"
            ),
        ),
    ]
