"""Stock counts and past purchases by the file, numbers asked by component, acts that are logged once."""

import django.db.models.deletion
from django.apps.registry import Apps
from django.conf import settings
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

import shop.models.exact
from shop.models import triggers


def install(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    triggers.install(schema_editor.connection)


def remove(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    triggers.remove(schema_editor.connection)


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0003_roles"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.RunPython(remove, install),  # the log is made anew with its column
        migrations.AddField(
            model_name="component",
            name="needs_serial",
            field=models.BooleanField(
                blank=True,
                help_text="Empty: as is usual for its kind.",
                null=True,
                verbose_name="needs a serial number",
            ),
        ),
        migrations.AddField(
            model_name="event",
            name="key",
            field=models.CharField(
                blank=True, help_text="Makes a repeat harmless.", max_length=80, null=True, unique=True
            ),
        ),
        migrations.AlterField(
            model_name="importfile",
            name="subject",
            field=models.CharField(
                choices=[
                    ("components", "Components"),
                    ("tax_rates", "Tax rates"),
                    ("tax_zips", "ZIP codes"),
                    ("prices", "Price list"),
                    ("counts", "Stock count"),
                    ("purchases", "Past purchases"),
                ],
                default="components",
                max_length=12,
            ),
        ),
        migrations.CreateModel(
            name="PastPurchase",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("ordered_on", models.DateField()),
                ("received_on", models.DateField()),
                (
                    "reference",
                    models.CharField(blank=True, help_text="Tells two orders of one day apart.", max_length=60),
                ),
                ("quantity", shop.models.exact.QuantityField()),
                (
                    "unit_cost",
                    shop.models.exact.MoneyField(
                        blank=True, help_text="In the row's currency. Empty: not known.", null=True
                    ),
                ),
                ("currency", models.CharField(max_length=3)),
                ("at", models.DateTimeField(auto_now_add=True)),
                (
                    "component",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="past_purchases", to="shop.component"
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "supplier",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="past_purchases", to="shop.supplier"
                    ),
                ),
            ],
            options={
                "ordering": ["-ordered_on", "-received_on", "pk"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("supplier", "component", "ordered_on", "received_on", "reference"),
                        name="past_purchase_once",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("received_on__gte", models.F("ordered_on"))),
                        name="past_purchase_days_in_order",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("quantity__gt", 0)), name="past_purchase_quantity_above_zero"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("unit_cost__isnull", True), ("unit_cost__gte", 0), _connector="OR"),
                        name="past_purchase_cost_not_negative",
                    ),
                ],
            },
        ),
        migrations.RunPython(install, remove),
    ]
