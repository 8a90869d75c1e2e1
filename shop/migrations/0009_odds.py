"""Odds of finish days, kept by the worker and written down with each promise.

SQLite makes a table anew to change it and its triggers are lost with it, so they are taken away before and put back.
"""

import django.core.serializers.json
from django.apps.registry import Apps
from django.conf import settings
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

from shop.models import triggers


def remove(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    triggers.remove(schema_editor.connection)


def install(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    triggers.install(schema_editor.connection)


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0008_booked_pieces_of_days"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.RunPython(remove, install),
        migrations.CreateModel(
            name="PlanOdds",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("revision", models.PositiveBigIntegerField(unique=True)),
                ("day", models.DateField()),
                ("read_at", models.DateTimeField()),
                ("made_at", models.DateTimeField(auto_now=True)),
                ("samples", models.PositiveIntegerField()),
                ("seed", models.PositiveIntegerField()),
                ("compiled", models.BooleanField()),
                ("hours_center", models.FloatField()),
                ("hours_spread", models.FloatField()),
                ("from_level", models.FloatField()),
                ("to_level", models.FloatField()),
                ("rates", models.JSONField(default=list, encoder=django.core.serializers.json.DjangoJSONEncoder)),
                ("line", models.JSONField(default=dict, encoder=django.core.serializers.json.DjangoJSONEncoder)),
                ("timelines", models.BinaryField()),
                ("few_timelines", models.BinaryField()),
            ],
            options={
                "verbose_name_plural": "plan odds",
                "ordering": ["-revision"],
            },
        ),
        migrations.AddField(
            model_name="promiseentry",
            name="basis",
            field=models.CharField(
                choices=[
                    ("odds", "Simulated runs"),
                    ("old_odds", "Simulated runs from before the last change"),
                    ("plan", "Likely and slow hours, no simulated runs yet"),
                    ("person", "Named by a person"),
                ],
                default="person",
                max_length=8,
            ),
        ),
        migrations.AddField(
            model_name="promiseentry",
            name="from_level",
            field=models.FloatField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="promiseentry",
            name="odds",
            field=models.JSONField(blank=True, encoder=django.core.serializers.json.DjangoJSONEncoder, null=True),
        ),
        migrations.AddField(
            model_name="promiseentry",
            name="to_level",
            field=models.FloatField(blank=True, null=True),
        ),
        migrations.AddConstraint(
            model_name="promiseentry",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("basis__in", ["odds", "old_odds"]),
                        ("from_level__isnull", False),
                        ("odds__isnull", False),
                        ("to_level__isnull", False),
                    ),
                    models.Q(
                        ("basis__in", ["plan", "person"]),
                        ("from_level__isnull", True),
                        ("odds__isnull", True),
                        ("to_level__isnull", True),
                    ),
                    _connector="OR",
                ),
                name="promise_entry_says_its_basis",
            ),
        ),
        migrations.AddConstraint(
            model_name="planodds",
            constraint=models.CheckConstraint(condition=models.Q(("samples__gte", 1)), name="plan_odds_have_samples"),
        ),
        migrations.AddConstraint(
            model_name="planodds",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("from_level__gt", 0), ("to_level__gte", models.F("from_level")), ("to_level__lt", 100)
                ),
                name="plan_odds_levels_in_order",
            ),
        ),
        migrations.RunPython(install, remove),
    ]
