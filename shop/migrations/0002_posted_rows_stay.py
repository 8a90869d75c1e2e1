"""Triggers that refuse edits of posted rows and offered versions."""

from django.apps.registry import Apps
from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

from shop.models import triggers


def install(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    triggers.install(schema_editor.connection)


def remove(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    triggers.remove(schema_editor.connection)


class Migration(migrations.Migration):
    dependencies = [("shop", "0001_records")]

    operations = [migrations.RunPython(install, remove)]
