"""The three roles, as groups."""

from django.apps.registry import Apps
from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

ROLES = ("owner", "counter", "builder")


def make_roles(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    group = apps.get_model("auth", "Group")
    for role in ROLES:
        group.objects.get_or_create(name=role)


class Migration(migrations.Migration):
    dependencies = [("shop", "0002_posted_rows_stay"), ("auth", "0012_alter_user_first_name_max_length")]

    operations = [migrations.RunPython(make_roles, migrations.RunPython.noop)]
