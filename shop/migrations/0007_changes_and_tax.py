from decimal import Decimal

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import shop.models.exact


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0006_bench_order_and_calendars"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="ChangeOrder",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                ("number", models.CharField(max_length=20, unique=True)),
                ("reason", models.CharField(max_length=200)),
                ("started_at", models.DateTimeField(auto_now_add=True)),
                ("promised_from", models.DateField(blank=True, null=True)),
                ("promised_to", models.DateField(blank=True, null=True)),
                (
                    "without_from",
                    models.DateField(blank=True, help_text="Expected without the change, when offered.", null=True),
                ),
                ("without_to", models.DateField(blank=True, null=True)),
                (
                    "deposit",
                    shop.models.exact.MoneyField(blank=True, help_text="The further deposit asked.", null=True),
                ),
                ("agreed_by", models.CharField(blank=True, max_length=120)),
                (
                    "agreed_how",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("signed", "Signed on paper"),
                            ("mail", "By mail"),
                            ("counter", "In person at the counter"),
                        ],
                        max_length=8,
                    ),
                ),
                ("agreed_on", models.DateField(blank=True, null=True)),
                (
                    "other_payer",
                    models.CharField(blank=True, help_text="Who else pays and agreed, if anybody.", max_length=120),
                ),
                ("accepted_at", models.DateTimeField(blank=True, null=True)),
            ],
            options={
                "ordering": ["-started_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="TaxBoundary",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("state", models.CharField(max_length=2)),
                ("kind", models.CharField(choices=[("4", "ZIP+4"), ("Z", "ZIP")], max_length=1)),
                ("zip_low", models.CharField(max_length=5)),
                ("zip_high", models.CharField(max_length=5)),
                ("plus_low", models.CharField(blank=True, max_length=4)),
                ("plus_high", models.CharField(blank=True, max_length=4)),
                ("begin", models.DateField()),
                ("end", models.DateField(blank=True, null=True)),
                ("codes", models.JSONField(default=list)),
            ],
            options={
                "verbose_name_plural": "tax boundaries",
                "ordering": ["zip_low", "plus_low", "begin"],
            },
        ),
        migrations.RemoveConstraint(
            model_name="partneed",
            name="need_quantity_above_zero",
        ),
        migrations.AddField(
            model_name="buildstep",
            name="learned_factor",
            field=shop.models.exact.RateField(
                default=Decimal("1"), help_text="What the estimate was shifted by when it was quoted."
            ),
        ),
        migrations.AddField(
            model_name="customer",
            name="exempt_authority",
            field=models.ForeignKey(
                blank=True,
                help_text="Whose certificate it is: it holds in places where this authority taxes. Empty: everywhere.",
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="shop.taxauthority",
                verbose_name="exemption holds with",
            ),
        ),
        migrations.AddField(
            model_name="customer",
            name="exempt_kind",
            field=models.CharField(
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
                verbose_name="kind of exemption",
            ),
        ),
        migrations.AddField(
            model_name="importfile",
            name="choices",
            field=models.JSONField(blank=True, default=dict, help_text="What was chosen with the file."),
        ),
        migrations.AddField(
            model_name="importfile",
            name="subject",
            field=models.CharField(
                choices=[("components", "Components"), ("tax_rates", "Tax rates"), ("tax_zips", "ZIP codes")],
                default="components",
                max_length=12,
            ),
        ),
        migrations.AddField(
            model_name="optionstep",
            name="learned_builds",
            field=models.PositiveSmallIntegerField(default=0),
        ),
        migrations.AddField(
            model_name="optionstep",
            name="learned_factor",
            field=shop.models.exact.RateField(
                default=Decimal("1"), help_text="What finished builds made of the routing's estimate."
            ),
        ),
        migrations.AddField(
            model_name="optionstep",
            name="rate",
            field=shop.models.exact.MoneyField(
                blank=True, help_text="An hour's price agreed before; empty takes the skill's.", null=True
            ),
        ),
        migrations.AddField(
            model_name="quoteoption",
            name="contingency_in_labor",
            field=models.BooleanField(
                default=False,
                help_text="Spread over the hours: no line of its own is printed.",
                verbose_name="contingency within labor",
            ),
        ),
        migrations.AddField(
            model_name="shop",
            name="change_deposit_rate",
            field=shop.models.exact.RateField(
                default=Decimal("0"),
                help_text="Share of what a change order adds to the price, asked as a further deposit.",
            ),
        ),
        migrations.AddField(
            model_name="shop",
            name="learn_hours",
            field=models.BooleanField(
                default=True, help_text="Estimates of new quotes follow what finished builds took."
            ),
        ),
        migrations.AddField(
            model_name="shop",
            name="replanning_h",
            field=shop.models.exact.HoursField(
                default=Decimal("0"), help_text="Hours charged for planning a running build anew. 0: none."
            ),
        ),
        migrations.AddField(
            model_name="shop",
            name="replanning_rate",
            field=shop.models.exact.MoneyField(default=Decimal("0"), help_text="What such an hour is sold for."),
        ),
        migrations.AddField(
            model_name="taxrate",
            name="whole",
            field=models.BooleanField(
                default=False,
                help_text="Above the threshold the whole amount is taxed, not only what exceeds it.",
                verbose_name="all or nothing",
            ),
        ),
        migrations.AddConstraint(
            model_name="partneed",
            constraint=models.CheckConstraint(
                condition=models.Q(("quantity__gte", 0)), name="need_quantity_not_negative"
            ),
        ),
        migrations.AddConstraint(
            model_name="shop",
            constraint=models.CheckConstraint(
                condition=models.Q(("change_deposit_rate__gte", 0), ("change_deposit_rate__lte", Decimal("1"))),
                name="shop_change_deposit_rate_is_a_share",
            ),
        ),
        migrations.AddConstraint(
            model_name="shop",
            constraint=models.CheckConstraint(
                condition=models.Q(("replanning_h__gte", 0), ("replanning_rate__gte", 0)),
                name="shop_replanning_not_negative",
            ),
        ),
        migrations.AddConstraint(
            model_name="taxrate",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("whole", False), models.Q(("threshold__gt", 0), ("threshold__isnull", False)), _connector="OR"
                ),
                name="tax_rate_whole_has_threshold",
            ),
        ),
        migrations.AddField(
            model_name="changeorder",
            name="accepted_by",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="changeorder",
            name="base",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="changed_by", to="shop.quoteversion"
            ),
        ),
        migrations.AddField(
            model_name="changeorder",
            name="build",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="changes", to="shop.build"
            ),
        ),
        migrations.AddField(
            model_name="changeorder",
            name="started_by",
            field=models.ForeignKey(
                null=True, on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
            ),
        ),
        migrations.AddField(
            model_name="changeorder",
            name="version",
            field=models.OneToOneField(
                on_delete=django.db.models.deletion.PROTECT, related_name="change", to="shop.quoteversion"
            ),
        ),
        migrations.AddIndex(
            model_name="taxboundary",
            index=models.Index(fields=["zip_low", "kind"], name="boundary_by_zip"),
        ),
        migrations.AddConstraint(
            model_name="taxboundary",
            constraint=models.CheckConstraint(
                condition=models.Q(("zip_high__gte", models.F("zip_low"))), name="boundary_zip_in_order"
            ),
        ),
        migrations.AddConstraint(
            model_name="taxboundary",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("kind", "Z"), ("plus_high", ""), ("plus_low", "")),
                    models.Q(
                        ("kind", "4"),
                        ("plus_high__gte", models.F("plus_low")),
                        models.Q(("plus_low", ""), _negated=True),
                    ),
                    _connector="OR",
                ),
                name="boundary_extension_fits_kind",
            ),
        ),
        migrations.AddConstraint(
            model_name="taxboundary",
            constraint=models.CheckConstraint(
                condition=models.Q(("end__isnull", True), ("end__gte", models.F("begin")), _connector="OR"),
                name="boundary_in_order",
            ),
        ),
        migrations.AddConstraint(
            model_name="changeorder",
            constraint=models.CheckConstraint(
                condition=models.Q(("version", models.F("base")), _negated=True), name="change_is_another_version"
            ),
        ),
        migrations.AddConstraint(
            model_name="changeorder",
            constraint=models.CheckConstraint(
                condition=models.Q(("reason", ""), _negated=True), name="change_has_a_reason"
            ),
        ),
        migrations.AddConstraint(
            model_name="changeorder",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("accepted_at__isnull", True),
                        ("accepted_by__isnull", True),
                        ("agreed_by", ""),
                        ("agreed_on__isnull", True),
                    ),
                    models.Q(
                        ("accepted_at__isnull", False),
                        ("accepted_by__isnull", False),
                        ("agreed_on__isnull", False),
                        models.Q(("agreed_by", ""), _negated=True),
                        models.Q(("agreed_how", ""), _negated=True),
                    ),
                    _connector="OR",
                ),
                name="change_accepted_by_both",
            ),
        ),
    ]
