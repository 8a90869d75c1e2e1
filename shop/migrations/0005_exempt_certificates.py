"""Certificates of tax exemption as rows of their own: a customer may hold several."""

import django.db.models.deletion
from django.db import migrations, models

import shop.models.exact


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0004_tax_at_payment"),
    ]

    operations = [
        migrations.RemoveField(
            model_name="customer",
            name="exempt_authority",
        ),
        migrations.RemoveField(
            model_name="customer",
            name="exempt_certificate",
        ),
        migrations.RemoveField(
            model_name="customer",
            name="exempt_kind",
        ),
        migrations.RemoveField(
            model_name="customer",
            name="exempt_until",
        ),
        migrations.CreateModel(
            name="ExemptCertificate",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                ("number", models.CharField(max_length=60)),
                (
                    "kind",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("resale", "Resale"),
                            ("government", "Government"),
                            ("charity", "Charity or church"),
                            ("farm", "Farming"),
                            ("direct_pay", "Pays the tax itself"),
                            ("abroad", "Leaves the country"),
                            ("other", "Other"),
                        ],
                        max_length=12,
                    ),
                ),
                ("begin", models.DateField(blank=True, null=True)),
                ("until", models.DateField(blank=True, null=True)),
                (
                    "authority",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="certificates",
                        to="shop.taxauthority",
                    ),
                ),
                (
                    "customer",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="certificates", to="shop.customer"
                    ),
                ),
            ],
            options={
                "ordering": ["customer", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("number", ""), _negated=True), name="certificate_has_a_number"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("begin__isnull", True),
                            ("until__isnull", True),
                            ("until__gte", models.F("begin")),
                            _connector="OR",
                        ),
                        name="certificate_in_order",
                    ),
                ],
            },
        ),
    ]
