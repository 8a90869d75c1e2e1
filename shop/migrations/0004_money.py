"""The cash book grows: invoices, payments, credit notes, refunds, papers that stay; the deposit's policy.

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
        ("shop", "0003_roles"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.RunPython(remove, install),
        migrations.CreateModel(
            name="EntryTax",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("position", models.PositiveSmallIntegerField()),
                ("authority", models.CharField(max_length=120)),
                ("level", models.CharField(max_length=20)),
                ("taxable", shop.models.exact.MoneyField()),
                ("amount", shop.models.exact.MoneyField()),
            ],
            options={
                "verbose_name_plural": "entry taxes",
                "ordering": ["entry", "position"],
            },
        ),
        migrations.CreateModel(
            name="IssuedPaper",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("quote", "Quote"),
                            ("receipt", "Receipt"),
                            ("void", "Void receipt"),
                            ("invoice", "Invoice"),
                            ("credit_note", "Credit note"),
                            ("refund", "Refund"),
                            ("statement", "Statement"),
                        ],
                        max_length=12,
                    ),
                ),
                ("day", models.DateField(blank=True, help_text="A statement's day.", null=True)),
                ("at", models.DateTimeField(auto_now_add=True)),
            ],
            options={
                "ordering": ["-at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="PaperFile",
            fields=[
                ("sha256", models.CharField(max_length=64, primary_key=True, serialize=False)),
                ("data", models.BinaryField()),
                ("at", models.DateTimeField(auto_now_add=True)),
            ],
        ),
        migrations.RemoveConstraint(
            model_name="ledgerentry",
            name="entry_reversal_has_reason",
        ),
        migrations.RemoveConstraint(
            model_name="ledgerentry",
            name="entry_deposit_is_complete",
        ),
        migrations.RemoveConstraint(
            model_name="posting",
            name="posting_accounts_known",
        ),
        migrations.AddField(
            model_name="build",
            name="told_ready_on",
            field=models.DateField(
                blank=True, help_text="The day the customer was told; storage counts on.", null=True
            ),
        ),
        migrations.AddField(
            model_name="ledgerentry",
            name="concerns",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="followers",
                to="shop.ledgerentry",
            ),
        ),
        migrations.AddField(
            model_name="ledgerentry",
            name="document",
            field=models.CharField(blank=True, max_length=20, null=True, unique=True),
        ),
        migrations.AddField(
            model_name="shop",
            name="keep_from",
            field=models.CharField(
                choices=[
                    ("never", "Never: it is given back whole"),
                    ("parts", "Once parts are ordered or kept for it"),
                    ("work", "Once work has begun"),
                ],
                default="never",
                max_length=8,
            ),
        ),
        migrations.AddField(
            model_name="shop",
            name="kept_basis",
            field=models.CharField(
                choices=[("spent", "Its parts and hours at the agreed price"), ("share", "A share of what was paid")],
                default="spent",
                max_length=8,
            ),
        ),
        migrations.AddField(
            model_name="shop",
            name="kept_rate",
            field=shop.models.exact.RateField(
                default=Decimal("0"), help_text="Of what was paid; used when a share is kept."
            ),
        ),
        migrations.AddField(
            model_name="shop",
            name="parts_deposit_rate",
            field=shop.models.exact.RateField(
                default=Decimal("0"),
                help_text="Share of the price paid in all before parts are ordered. 0: no such stage.",
            ),
        ),
        migrations.AlterField(
            model_name="ledgerentry",
            name="kind",
            field=models.CharField(
                choices=[
                    ("deposit", "Deposit taken"),
                    ("payment", "Payment"),
                    ("cleared", "Check cleared"),
                    ("invoice", "Invoice"),
                    ("applied", "Deposit applied"),
                    ("credit_note", "Credit note"),
                    ("storage", "Storage invoice"),
                    ("write_off", "Written off"),
                    ("refund", "Refund"),
                    ("kept", "Deposit kept"),
                    ("reversal", "Reversal"),
                ],
                max_length=12,
            ),
        ),
        migrations.AlterField(
            model_name="posting",
            name="credit",
            field=models.CharField(
                choices=[
                    ("cash", "Cash drawer"),
                    ("card", "Card terminal"),
                    ("bank", "Bank"),
                    ("checks", "Checks to clear"),
                    ("deposits", "Deposits held"),
                    ("receivable", "Owed by customers"),
                    ("sales", "Sales"),
                    ("tax", "Tax owed"),
                    ("trade_in", "Engines taken in"),
                    ("kept", "Deposits kept"),
                    ("storage", "Storage fees"),
                    ("write_off", "Written off"),
                ],
                max_length=12,
            ),
        ),
        migrations.AlterField(
            model_name="posting",
            name="debit",
            field=models.CharField(
                choices=[
                    ("cash", "Cash drawer"),
                    ("card", "Card terminal"),
                    ("bank", "Bank"),
                    ("checks", "Checks to clear"),
                    ("deposits", "Deposits held"),
                    ("receivable", "Owed by customers"),
                    ("sales", "Sales"),
                    ("tax", "Tax owed"),
                    ("trade_in", "Engines taken in"),
                    ("kept", "Deposits kept"),
                    ("storage", "Storage fees"),
                    ("write_off", "Written off"),
                ],
                max_length=12,
            ),
        ),
        migrations.AddConstraint(
            model_name="ledgerentry",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("kind__in", ("reversal", "credit_note", "write_off", "refund", "kept")), _negated=True),
                    models.Q(("reason", ""), _negated=True),
                    _connector="OR",
                ),
                name="entry_has_its_reason",
            ),
        ),
        migrations.AddConstraint(
            model_name="ledgerentry",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("kind__in", ("deposit", "payment", "refund", "kept")), ("receipt__isnull", False)),
                    models.Q(
                        models.Q(("kind__in", ("deposit", "payment", "refund", "kept")), _negated=True),
                        ("receipt__isnull", True),
                    ),
                    _connector="OR",
                ),
                name="entry_has_its_receipt",
            ),
        ),
        migrations.AddConstraint(
            model_name="ledgerentry",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("document__isnull", False), ("kind__in", ("invoice", "storage", "credit_note"))),
                    models.Q(
                        models.Q(("kind__in", ("invoice", "storage", "credit_note")), _negated=True),
                        ("document__isnull", True),
                    ),
                    _connector="OR",
                ),
                name="entry_has_its_document",
            ),
        ),
        migrations.AddConstraint(
            model_name="ledgerentry",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("kind__in", ("deposit", "payment", "refund", "cleared")), _negated=True),
                    models.Q(("method", ""), _negated=True),
                    _connector="OR",
                ),
                name="entry_has_its_method",
            ),
        ),
        migrations.AddConstraint(
            model_name="ledgerentry",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("kind", "reversal"),
                    models.Q(
                        ("concerns__isnull", False),
                        ("kind__in", ("payment", "cleared", "applied", "credit_note", "write_off")),
                    ),
                    models.Q(
                        models.Q(
                            ("kind__in", ("payment", "cleared", "applied", "credit_note", "write_off")), _negated=True
                        ),
                        ("concerns__isnull", True),
                    ),
                    _connector="OR",
                ),
                name="entry_names_what_it_concerns",
            ),
        ),
        migrations.AddConstraint(
            model_name="ledgerentry",
            constraint=models.CheckConstraint(
                condition=models.Q(("kind", "reversal"), ("build__isnull", False), _connector="OR"),
                name="entry_has_its_build",
            ),
        ),
        migrations.AddConstraint(
            model_name="posting",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    (
                        "credit__in",
                        [
                            "cash",
                            "card",
                            "bank",
                            "checks",
                            "deposits",
                            "receivable",
                            "sales",
                            "tax",
                            "trade_in",
                            "kept",
                            "storage",
                            "write_off",
                        ],
                    ),
                    (
                        "debit__in",
                        [
                            "cash",
                            "card",
                            "bank",
                            "checks",
                            "deposits",
                            "receivable",
                            "sales",
                            "tax",
                            "trade_in",
                            "kept",
                            "storage",
                            "write_off",
                        ],
                    ),
                ),
                name="posting_accounts_known",
            ),
        ),
        migrations.AddConstraint(
            model_name="shop",
            constraint=models.CheckConstraint(
                condition=models.Q(("parts_deposit_rate__gte", 0), ("parts_deposit_rate__lte", Decimal("1"))),
                name="shop_parts_deposit_rate_is_a_share",
            ),
        ),
        migrations.AddConstraint(
            model_name="shop",
            constraint=models.CheckConstraint(
                condition=models.Q(("kept_rate__gte", 0), ("kept_rate__lte", Decimal("1"))),
                name="shop_kept_rate_is_a_share",
            ),
        ),
        migrations.AddField(
            model_name="entrytax",
            name="entry",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="taxes", to="shop.ledgerentry"
            ),
        ),
        migrations.AddField(
            model_name="issuedpaper",
            name="build",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="papers",
                to="shop.build",
            ),
        ),
        migrations.AddField(
            model_name="issuedpaper",
            name="customer",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="papers",
                to="shop.customer",
            ),
        ),
        migrations.AddField(
            model_name="issuedpaper",
            name="entry",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="papers",
                to="shop.ledgerentry",
            ),
        ),
        migrations.AddField(
            model_name="issuedpaper",
            name="person",
            field=models.ForeignKey(
                null=True, on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
            ),
        ),
        migrations.AddField(
            model_name="issuedpaper",
            name="version",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="papers",
                to="shop.quoteversion",
            ),
        ),
        migrations.AddField(
            model_name="issuedpaper",
            name="file",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="papers", to="shop.paperfile"
            ),
        ),
        migrations.AddConstraint(
            model_name="entrytax",
            constraint=models.UniqueConstraint(fields=("entry", "position"), name="entry_tax_once_per_position"),
        ),
        migrations.AddConstraint(
            model_name="issuedpaper",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("customer__isnull", True),
                        ("entry__isnull", True),
                        ("kind", "quote"),
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
                        models.Q(("kind__in", ["quote", "statement"]), _negated=True),
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
                condition=models.Q(("version__isnull", False)), fields=("version",), name="paper_once_a_version"
            ),
        ),
        migrations.AddConstraint(
            model_name="issuedpaper",
            constraint=models.UniqueConstraint(
                condition=models.Q(("entry__isnull", False)),
                fields=("entry", "kind"),
                name="paper_once_an_entry_and_kind",
            ),
        ),
        migrations.RunPython(install, remove),
    ]
