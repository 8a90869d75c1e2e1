"""Change orders are kept as the PDF that was first made, before and after they are agreed."""

from django.apps.registry import Apps
from django.conf import settings
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

from shop.models import triggers


def install(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    triggers.install(schema_editor.connection)


def remove(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    triggers.remove(schema_editor.connection)


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0004_stores_by_file"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.RunPython(remove, install),  # the table is made anew with its constraints
        migrations.RemoveConstraint(
            model_name="issuedpaper",
            name="paper_is_of_its_thing",
        ),
        migrations.RemoveConstraint(
            model_name="issuedpaper",
            name="paper_once_a_version",
        ),
        migrations.AlterField(
            model_name="issuedpaper",
            name="kind",
            field=models.CharField(
                choices=[
                    ("quote", "Quote"),
                    ("receipt", "Receipt"),
                    ("void", "Void receipt"),
                    ("invoice", "Invoice"),
                    ("credit_note", "Credit note"),
                    ("refund", "Refund"),
                    ("statement", "Statement"),
                    ("change", "Change order"),
                    ("agreed", "Change order, agreed"),
                ],
                max_length=12,
            ),
        ),
        migrations.AddConstraint(
            model_name="issuedpaper",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("customer__isnull", True),
                        ("entry__isnull", True),
                        ("kind__in", ("quote", "change", "agreed")),
                        ("version__isnull", False),
                    ),
                    models.Q(
                        ("customer__isnull", False),
                        ("day__isnull", False),
                        ("entry__isnull", True),
                        ("kind", "statement"),
                        ("version__isnull", True),
                    ),
                    models.Q(
                        models.Q(("kind__in", ["quote", "change", "agreed", "statement"]), _negated=True),
                        ("customer__isnull", True),
                        ("entry__isnull", False),
                        ("version__isnull", True),
                    ),
                    _connector="OR",
                ),
                name="paper_is_of_its_thing",
            ),
        ),
        migrations.AddConstraint(
            model_name="issuedpaper",
            constraint=models.UniqueConstraint(
                condition=models.Q(("version__isnull", False)),
                fields=("version", "kind"),
                name="paper_once_a_version_and_kind",
            ),
        ),
        migrations.RunPython(install, remove),
    ]
