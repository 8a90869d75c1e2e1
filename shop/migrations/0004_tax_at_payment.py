"""Tax at payment: where a place says so, what was taxed ahead of an invoice, and the account that holds it."""

from decimal import Decimal

from django.apps.registry import Apps
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
    ]

    operations = [
        migrations.RunPython(remove, install),
        migrations.RemoveConstraint(
            model_name="posting",
            name="posting_accounts_known",
        ),
        migrations.AddField(
            model_name="entrytax",
            name="ahead",
            field=models.BooleanField(default=False),
        ),
        migrations.AddField(
            model_name="ledgerentry",
            name="taxed_ahead",
            field=shop.models.exact.MoneyField(default=Decimal("0")),
        ),
        migrations.AddField(
            model_name="taxplace",
            name="tax_point",
            field=models.CharField(
                choices=[("invoice", "With the invoice"), ("payment", "When money is received")],
                default="invoice",
                help_text="With the invoice: a deposit carries no tax. When money is received: each deposit is taxed on its day and on its amount, and the invoice takes that off. Holds for deposits taken from now on. Which of the two is right, the tax authority decides.",
                max_length=8,
                verbose_name="tax is due",
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
                    ("tax_ahead", "Tax charged ahead"),
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
                    ("tax_ahead", "Tax charged ahead"),
                    ("trade_in", "Engines taken in"),
                    ("kept", "Deposits kept"),
                    ("storage", "Storage fees"),
                    ("write_off", "Written off"),
                ],
                max_length=12,
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
                            "tax_ahead",
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
                            "tax_ahead",
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
        migrations.RunPython(install, remove),
    ]
