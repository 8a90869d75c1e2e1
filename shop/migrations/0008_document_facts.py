"""Documents keep what their version or ledger entry does not hold, and a trigger keeps it so."""

import django.core.serializers.json
import django.db.models.deletion
from django.apps.registry import Apps
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

from shop.models import triggers


def install(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    triggers.install(schema_editor.connection)


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0007_tax_per_item_and_per_rate"),
    ]

    operations = [
        migrations.CreateModel(
            name="DocumentFacts",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("facts", models.JSONField(encoder=django.core.serializers.json.DjangoJSONEncoder)),
                ("at", models.DateTimeField(auto_now_add=True)),
                (
                    "entry",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="document_facts",
                        to="shop.ledgerentry",
                    ),
                ),
                (
                    "version",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="document_facts",
                        to="shop.quoteversion",
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "document facts",
                "ordering": ["at", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("entry__isnull", True), ("version__isnull", False)),
                            models.Q(("entry__isnull", False), ("version__isnull", True)),
                            _connector="OR",
                        ),
                        name="document_facts_of_one_thing",
                    )
                ],
            },
        ),
        migrations.RunPython(install, migrations.RunPython.noop),
    ]
