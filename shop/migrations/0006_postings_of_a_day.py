"""Postings carry their entry's build and day, so that balances over years are read off an index."""

import django.db.models.deletion
from django.apps.registry import Apps
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.models import OuterRef, Subquery

from shop.models import triggers


def install(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    triggers.install(schema_editor.connection)


def remove(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    triggers.remove(schema_editor.connection)


def fill(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    entry = apps.get_model("shop", "LedgerEntry").objects.filter(pk=OuterRef("entry_id"))
    apps.get_model("shop", "Posting").objects.update(
        build_id=Subquery(entry.values("build_id")), day=Subquery(entry.values("day"))
    )


def leave(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    """Nothing to take back: the columns go."""


class Migration(migrations.Migration):
    atomic = False  # PostgreSQL alters no table whose rows were written in the same transaction

    dependencies = [("shop", "0005_change_papers_kept")]

    operations = [
        migrations.RunPython(remove, install),
        migrations.RemoveIndex(model_name="posting", name="posting_of_deposits"),
        migrations.AddField(
            model_name="posting",
            name="build",
            field=models.ForeignKey(
                db_index=False,
                editable=False,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="shop.build",
            ),
        ),
        migrations.AddField(model_name="posting", name="day", field=models.DateField(editable=False, null=True)),
        migrations.RunPython(fill, leave),
        migrations.AlterField(model_name="posting", name="day", field=models.DateField(editable=False)),
        migrations.AddIndex(
            model_name="posting",
            index=models.Index(
                condition=models.Q(("debit", "deposits"), ("credit", "deposits"), _connector="OR"),
                fields=["build", "day", "debit", "credit", "amount"],
                name="posting_of_deposits",
            ),
        ),
        migrations.AddIndex(
            model_name="posting",
            index=models.Index(fields=["day", "debit", "credit", "amount"], name="posting_by_day"),
        ),
        migrations.RunPython(install, remove),
    ]
