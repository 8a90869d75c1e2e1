"""Serial numbers and batches, what an order's line came to, letters, lent units, stand-ins, price breaks.

SQLite makes a table anew to change it and its triggers are lost with it, so they are taken away before and put back.
"""

from decimal import Decimal

import django.db.models.deletion
import django.db.models.functions.text
from django.apps.registry import Apps
from django.conf import settings
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

import shop.models.exact
from shop.models import triggers


def remove(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    triggers.remove(schema_editor.connection)


def install(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    triggers.install(schema_editor.connection)


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0004_money"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.RunPython(remove, install),
        migrations.CreateModel(
            name="Lending",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("quantity", shop.models.exact.QuantityField()),
                ("assured", shop.models.exact.QuantityField()),
                ("reason", models.CharField(max_length=200)),
                (
                    "override",
                    models.CharField(blank=True, help_text="Why, although a promise breaks by it.", max_length=200),
                ),
                ("at", models.DateTimeField(auto_now_add=True)),
                ("key", models.CharField(help_text="Makes a repeat harmless.", max_length=80, unique=True)),
            ],
            options={
                "ordering": ["at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="Mail",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                ("to", models.EmailField(max_length=254)),
                ("subject", models.CharField(max_length=200)),
                ("body", models.TextField()),
                (
                    "state",
                    models.CharField(
                        choices=[("waiting", "To be sent"), ("sent", "Sent"), ("failed", "Not sent")],
                        default="waiting",
                        max_length=8,
                    ),
                ),
                ("error", models.CharField(blank=True, max_length=300)),
                ("at", models.DateTimeField(auto_now_add=True)),
                ("sent_at", models.DateTimeField(blank=True, null=True)),
                ("key", models.CharField(help_text="Makes a repeat harmless.", max_length=80, unique=True)),
            ],
            options={
                "ordering": ["-at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="OfferBreak",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("from_quantity", shop.models.exact.QuantityField()),
                ("unit_cost", shop.models.exact.MoneyField(help_text="In the supplier's currency.")),
            ],
            options={
                "ordering": ["offer", "from_quantity"],
            },
        ),
        migrations.CreateModel(
            name="StockUnit",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                ("serial", models.CharField(max_length=60, verbose_name="serial number")),
                (
                    "place",
                    models.CharField(
                        choices=[
                            ("shelf", "On the shelf"),
                            ("build", "In a build"),
                            ("supplier", "Back at the supplier"),
                            ("scrapped", "Scrapped"),
                            ("missing", "Missing"),
                        ],
                        default="shelf",
                        max_length=8,
                    ),
                ),
                ("entered_at", models.DateTimeField(auto_now_add=True)),
            ],
            options={
                "ordering": ["entered_at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="Substitute",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("note", models.CharField(blank=True, max_length=200)),
            ],
            options={
                "ordering": ["component", "pk"],
            },
        ),
        migrations.CreateModel(
            name="SupplierColumns",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("headings", models.JSONField(default=dict)),
            ],
            options={
                "verbose_name_plural": "supplier columns",
            },
        ),
        migrations.CreateModel(
            name="UnitMove",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
            ],
            options={
                "ordering": ["pk"],
            },
        ),
        migrations.RemoveConstraint(
            model_name="stockmove",
            name="move_signs_fit_kind",
        ),
        migrations.RemoveConstraint(
            model_name="stockmove",
            name="move_difference_has_reason",
        ),
        migrations.AddField(
            model_name="expecteddatechange",
            name="entry",
            field=models.CharField(blank=True, help_text="The same for lines changed in one act.", max_length=20),
        ),
        migrations.AddField(
            model_name="expecteddatechange",
            name="undoes",
            field=models.OneToOneField(
                blank=True,
                help_text="Taken back by this.",
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="undone_by",
                to="shop.expecteddatechange",
            ),
        ),
        migrations.AddField(
            model_name="partneed",
            name="instead_of",
            field=models.ForeignKey(
                blank=True,
                help_text="What was quoted.",
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="shop.component",
            ),
        ),
        migrations.AddField(
            model_name="purchaseorderline",
            name="acknowledged_on",
            field=models.DateField(blank=True, help_text="When the supplier confirmed the line.", null=True),
        ),
        migrations.AddField(
            model_name="purchaseorderline",
            name="cancelled",
            field=shop.models.exact.QuantityField(default=Decimal("0"), help_text="Units that will not come."),
        ),
        migrations.AddField(
            model_name="purchaseorderline",
            name="invoiced_cost",
            field=shop.models.exact.MoneyField(
                blank=True, help_text="What the supplier charged, when it is not what was ordered.", null=True
            ),
        ),
        migrations.AddField(
            model_name="stockmove",
            name="batch",
            field=models.CharField(blank=True, help_text="The maker's batch, for cells.", max_length=60),
        ),
        migrations.AlterField(
            model_name="stockmove",
            name="kind",
            field=models.CharField(
                choices=[
                    ("received", "Received"),
                    ("counted", "Counted"),
                    ("reserved", "Reserved"),
                    ("released", "Released"),
                    ("issued", "Issued to build"),
                    ("returned", "Returned"),
                    ("scrapped", "Scrapped"),
                    ("sent_back", "Back to supplier"),
                ],
                max_length=10,
            ),
        ),
        migrations.AddConstraint(
            model_name="purchaseorderline",
            constraint=models.CheckConstraint(
                condition=models.Q(("invoiced_cost__isnull", True), ("invoiced_cost__gte", 0), _connector="OR"),
                name="order_line_charge_not_negative",
            ),
        ),
        migrations.AddConstraint(
            model_name="purchaseorderline",
            constraint=models.CheckConstraint(
                condition=models.Q(("cancelled__gte", 0), ("cancelled__lte", models.F("quantity"))),
                name="order_line_cancels_its_own",
            ),
        ),
        migrations.AddConstraint(
            model_name="stockmove",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("kind__in", ["received", "returned"]), ("on_hand__gt", 0), ("reserved", 0)),
                    models.Q(("kind", "counted"), ("reserved", 0)),
                    models.Q(("kind__in", ["scrapped", "sent_back"]), ("on_hand__lt", 0), ("reserved", 0)),
                    models.Q(("kind", "reserved"), ("need__isnull", False), ("on_hand", 0), ("reserved__gt", 0)),
                    models.Q(("kind", "released"), ("need__isnull", False), ("on_hand", 0), ("reserved__lt", 0)),
                    models.Q(("kind", "issued"), ("need__isnull", False), ("on_hand__lt", 0), ("reserved__lte", 0)),
                    _connector="OR",
                ),
                name="move_signs_fit_kind",
            ),
        ),
        migrations.AddConstraint(
            model_name="stockmove",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("kind__in", ["counted", "scrapped", "sent_back"]), _negated=True),
                    models.Q(("reason", ""), _negated=True),
                    _connector="OR",
                ),
                name="move_difference_has_reason",
            ),
        ),
        migrations.AddField(
            model_name="lending",
            name="borrower",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="borrowed", to="shop.partneed"
            ),
        ),
        migrations.AddField(
            model_name="lending",
            name="lender",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="lent", to="shop.partneed"
            ),
        ),
        migrations.AddField(
            model_name="lending",
            name="person",
            field=models.ForeignKey(
                null=True, on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
            ),
        ),
        migrations.AddField(
            model_name="mail",
            name="build",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="mails",
                to="shop.build",
            ),
        ),
        migrations.AddField(
            model_name="mail",
            name="order",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="mails",
                to="shop.purchaseorder",
            ),
        ),
        migrations.AddField(
            model_name="mail",
            name="person",
            field=models.ForeignKey(
                null=True, on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
            ),
        ),
        migrations.AddField(
            model_name="offerbreak",
            name="offer",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE, related_name="breaks", to="shop.offer"
            ),
        ),
        migrations.AddField(
            model_name="stockunit",
            name="component",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="units", to="shop.component"
            ),
        ),
        migrations.AddField(
            model_name="stockunit",
            name="need",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="units",
                to="shop.partneed",
            ),
        ),
        migrations.AddField(
            model_name="stockunit",
            name="order_line",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="units",
                to="shop.purchaseorderline",
            ),
        ),
        migrations.AddField(
            model_name="substitute",
            name="component",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE, related_name="substitutes", to="shop.component"
            ),
        ),
        migrations.AddField(
            model_name="substitute",
            name="stand_in",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE, related_name="stands_in_for", to="shop.component"
            ),
        ),
        migrations.AddField(
            model_name="suppliercolumns",
            name="supplier",
            field=models.OneToOneField(
                on_delete=django.db.models.deletion.CASCADE, related_name="price_list_columns", to="shop.supplier"
            ),
        ),
        migrations.AddField(
            model_name="unitmove",
            name="move",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="unit_moves", to="shop.stockmove"
            ),
        ),
        migrations.AddField(
            model_name="unitmove",
            name="unit",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="moves", to="shop.stockunit"
            ),
        ),
        migrations.AddConstraint(
            model_name="lending",
            constraint=models.CheckConstraint(
                condition=models.Q(("quantity__gt", 0)), name="lending_quantity_above_zero"
            ),
        ),
        migrations.AddConstraint(
            model_name="lending",
            constraint=models.CheckConstraint(
                condition=models.Q(("assured__gte", models.F("quantity"))), name="lending_assures_what_it_lends"
            ),
        ),
        migrations.AddConstraint(
            model_name="lending",
            constraint=models.CheckConstraint(
                condition=models.Q(("reason", ""), _negated=True), name="lending_has_reason"
            ),
        ),
        migrations.AddConstraint(
            model_name="lending",
            constraint=models.CheckConstraint(
                condition=models.Q(("lender", models.F("borrower")), _negated=True), name="lending_to_another"
            ),
        ),
        migrations.AddConstraint(
            model_name="mail",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("build__isnull", True), ("order__isnull", False)),
                    models.Q(("build__isnull", False), ("order__isnull", True)),
                    _connector="OR",
                ),
                name="mail_about_one_thing",
            ),
        ),
        migrations.AddConstraint(
            model_name="mail",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("sent_at__isnull", False), ("state", "sent")),
                    models.Q(models.Q(("state", "sent"), _negated=True), ("sent_at__isnull", True)),
                    _connector="OR",
                ),
                name="mail_sent_has_a_time",
            ),
        ),
        migrations.AddConstraint(
            model_name="offerbreak",
            constraint=models.UniqueConstraint(fields=("offer", "from_quantity"), name="offer_break_once_per_quantity"),
        ),
        migrations.AddConstraint(
            model_name="offerbreak",
            constraint=models.CheckConstraint(
                condition=models.Q(("from_quantity__gt", 0)), name="offer_break_quantity_above_zero"
            ),
        ),
        migrations.AddConstraint(
            model_name="offerbreak",
            constraint=models.CheckConstraint(
                condition=models.Q(("unit_cost__gte", 0)), name="offer_break_cost_not_negative"
            ),
        ),
        migrations.AddConstraint(
            model_name="stockunit",
            constraint=models.UniqueConstraint(
                models.F("component"),
                django.db.models.functions.text.Upper("serial"),
                name="unit_serial_once_per_component",
            ),
        ),
        migrations.AddConstraint(
            model_name="stockunit",
            constraint=models.CheckConstraint(
                condition=models.Q(("serial", ""), _negated=True), name="unit_has_a_serial"
            ),
        ),
        migrations.AddConstraint(
            model_name="stockunit",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("place", "shelf"),
                    models.Q(("need__isnull", False), ("place", "build")),
                    models.Q(("need__isnull", True), ("place__in", ["supplier", "scrapped", "missing"])),
                    _connector="OR",
                ),
                name="unit_is_in_one_place",
            ),
        ),
        migrations.AddConstraint(
            model_name="substitute",
            constraint=models.UniqueConstraint(fields=("component", "stand_in"), name="substitute_once_per_pair"),
        ),
        migrations.AddConstraint(
            model_name="substitute",
            constraint=models.CheckConstraint(
                condition=models.Q(("component", models.F("stand_in")), _negated=True),
                name="substitute_is_another_part",
            ),
        ),
        migrations.AddConstraint(
            model_name="unitmove",
            constraint=models.UniqueConstraint(fields=("unit", "move"), name="unit_move_once"),
        ),
        migrations.RunPython(install, remove),
    ]
