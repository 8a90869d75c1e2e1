"""Every record the shop keeps, as of the first release."""

from decimal import Decimal

import django.core.serializers.json
import django.core.validators
import django.db.models.deletion
import django.db.models.functions.text
from django.conf import settings
from django.db import migrations, models

import shop.models.bench
import shop.models.exact
import shop.models.shop


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("auth", "__first__"),
    ]

    operations = [
        migrations.CreateModel(
            name="BenchType",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("code", models.SlugField(max_length=30, unique=True)),
                ("label", models.CharField(max_length=60)),
            ],
            options={
                "ordering": ["label"],
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
        migrations.CreateModel(
            name="PurchaseOrder",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                ("number", models.CharField(max_length=20, unique=True)),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("draft", "Draft"),
                            ("sent", "Sent"),
                            ("received", "Received"),
                            ("cancelled", "Cancelled"),
                        ],
                        default="draft",
                        max_length=10,
                    ),
                ),
                ("ordered_on", models.DateField(blank=True, null=True)),
                ("note", models.CharField(blank=True, max_length=200)),
                ("created_at", models.DateTimeField(auto_now_add=True)),
                (
                    "key",
                    models.CharField(
                        blank=True,
                        editable=False,
                        help_text="Makes a repeat harmless.",
                        max_length=80,
                        null=True,
                        unique=True,
                    ),
                ),
            ],
            options={
                "ordering": ["-created_at", "-pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("state__in", ["draft", "cancelled"]), ("ordered_on__isnull", False), _connector="OR"
                        ),
                        name="order_sent_has_a_day",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="QuoteOption",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("key", models.CharField(choices=[("A", "A"), ("B", "B"), ("C", "C")], max_length=1)),
                ("label", models.CharField(blank=True, max_length=80)),
                (
                    "series",
                    models.PositiveSmallIntegerField(
                        blank=True, null=True, validators=[django.core.validators.MinValueValidator(1)]
                    ),
                ),
                (
                    "parallel",
                    models.PositiveSmallIntegerField(
                        blank=True, null=True, validators=[django.core.validators.MinValueValidator(1)]
                    ),
                ),
                (
                    "link_mohm",
                    models.FloatField(
                        default=1.0,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="links and bus bars, mohm",
                    ),
                ),
                ("bay_names", models.JSONField(blank=True, default=list)),
                ("contingency_rate", shop.models.exact.RateField(default=Decimal("0"))),
                (
                    "contingency_in_labor",
                    models.BooleanField(
                        default=False,
                        help_text="Spread over the hours: no line of its own is printed.",
                        verbose_name="contingency within labor",
                    ),
                ),
                ("discount_rate", shop.models.exact.RateField(default=Decimal("0"))),
                ("discount_amount", shop.models.exact.MoneyField(default=Decimal("0"))),
                ("discount_reason", models.CharField(blank=True, max_length=160)),
                ("allowance_amount", shop.models.exact.MoneyField(default=Decimal("0"))),
                ("allowance_label", models.CharField(blank=True, max_length=120)),
            ],
            options={
                "ordering": ["version", "key"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("key__in", ("A", "B", "C"))), name="option_key_is_a_b_or_c"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("contingency_rate__gte", 0), ("contingency_rate__lte", Decimal("1"))),
                        name="option_contingency_is_a_share",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("discount_amount__gte", 0), ("discount_rate__gte", 0), ("discount_rate__lte", Decimal("1"))
                        ),
                        name="option_discount_not_negative",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("discount_amount", 0), ("discount_rate", 0)),
                            models.Q(("discount_reason", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="option_discount_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("allowance_amount__gte", 0)), name="option_allowance_not_negative"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Sequence",
            fields=[
                ("name", models.CharField(max_length=40, primary_key=True, serialize=False)),
                ("prefix", models.CharField(blank=True, max_length=8)),
                ("next_number", models.PositiveBigIntegerField(default=1)),
            ],
        ),
        migrations.CreateModel(
            name="Supplier",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                ("code", models.SlugField(max_length=40, unique=True)),
                ("name", models.CharField(max_length=120)),
                ("email", models.EmailField(blank=True, max_length=254)),
                ("phone", models.CharField(blank=True, max_length=40)),
                ("address", models.TextField(blank=True)),
                ("currency", models.CharField(default="USD", max_length=3)),
                (
                    "stale_after_days",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        help_text="A price older than this is asked again. Empty: the shop's figure.",
                        null=True,
                    ),
                ),
                ("ships_dangerous", models.BooleanField(default=False, verbose_name="ships dangerous goods")),
            ],
            options={
                "ordering": ["name"],
            },
        ),
        migrations.CreateModel(
            name="TaxPlace",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                ("code", models.SlugField(max_length=40, unique=True)),
                ("name", models.CharField(max_length=120)),
                (
                    "mode",
                    models.CharField(
                        choices=[("added", "Added on top"), ("included", "Included in prices")],
                        default="added",
                        max_length=8,
                    ),
                ),
                (
                    "tax_point",
                    models.CharField(
                        choices=[("invoice", "With the invoice"), ("payment", "When money is received")],
                        default="invoice",
                        help_text="With the invoice: a deposit carries no tax. When money is received: each deposit is taxed on its day and on its amount, and the invoice takes that off. Holds for deposits taken from now on. Which of the two is right, the tax authority decides.",
                        max_length=8,
                        verbose_name="tax is due",
                    ),
                ),
            ],
            options={
                "ordering": ["name"],
            },
        ),
        migrations.CreateModel(
            name="Trial",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                ("key", models.CharField(max_length=64, unique=True)),
                ("revision", models.PositiveBigIntegerField()),
                ("question", models.JSONField(encoder=django.core.serializers.json.DjangoJSONEncoder, null=True)),
                ("halves", models.PositiveSmallIntegerField(default=0)),
                ("odds", models.JSONField(encoder=django.core.serializers.json.DjangoJSONEncoder, null=True)),
                ("said", models.CharField(blank=True, max_length=300)),
                ("asked_at", models.DateTimeField(auto_now_add=True)),
                ("started_at", models.DateTimeField(blank=True, null=True)),
                ("ended_at", models.DateTimeField(blank=True, null=True)),
            ],
            options={
                "ordering": ["-asked_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="Bench",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                ("name", models.CharField(max_length=60, unique=True)),
                ("active", models.BooleanField(default=True)),
                (
                    "bench_type",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="benches", to="shop.benchtype"
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "benches",
                "ordering": ["bench_type__label", "name"],
            },
        ),
        migrations.CreateModel(
            name="BookedPlan",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("worked_out_at", models.DateTimeField()),
                ("revision", models.PositiveBigIntegerField()),
            ],
            options={
                "constraints": [models.CheckConstraint(condition=models.Q(("pk", 1)), name="booked_plan_is_one_row")],
            },
        ),
        migrations.CreateModel(
            name="ClosedDays",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("first", models.DateField()),
                ("last", models.DateField()),
                ("reason", models.CharField(max_length=120)),
            ],
            options={
                "verbose_name_plural": "closed days",
                "ordering": ["first"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("last__gte", models.F("first"))), name="closed_days_in_order"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Component",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                ("code", models.CharField(max_length=40, unique=True)),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("motor", "Motor"),
                            ("controller", "Controller"),
                            ("cell", "Cells"),
                            ("module", "Battery modules"),
                            ("bms", "Battery management"),
                            ("charger", "Charger"),
                            ("dcdc", "DC-DC converter"),
                            ("enclosure", "Pack box"),
                            ("contactor", "Contactor"),
                            ("fuse", "Main fuse"),
                            ("precharge", "Pre-charge"),
                            ("cable", "Cable"),
                            ("connector", "Connectors"),
                            ("throttle", "Throttle"),
                            ("display", "Display"),
                            ("switch", "Switches"),
                            ("final_drive", "Final drive"),
                            ("adapter", "Adapters"),
                            ("wheel", "Wheels"),
                            ("tire", "Tires"),
                            ("brake", "Brakes"),
                            ("lamp", "Lamps and loads"),
                            ("bodywork", "Body work"),
                            ("hardware", "Hardware"),
                        ],
                        max_length=20,
                    ),
                ),
                ("name", models.CharField(max_length=160)),
                ("spec", models.JSONField(blank=True, default=dict)),
                (
                    "list_price",
                    shop.models.exact.MoneyField(blank=True, help_text="Empty: landed cost and markup.", null=True),
                ),
                (
                    "markup_rate",
                    shop.models.exact.RateField(
                        default=Decimal("0.35"), help_text="On landed cost, when there is no list price."
                    ),
                ),
                (
                    "tax_class",
                    models.CharField(
                        choices=[
                            ("parts", "Parts"),
                            ("fabrication_labor", "Fabrication labor"),
                            ("repair_labor", "Repair labor"),
                            ("vehicle", "Vehicle"),
                            ("freight", "Freight"),
                            ("fee", "Fee"),
                        ],
                        default="parts",
                        max_length=20,
                    ),
                ),
                ("x_m", models.FloatField(blank=True, null=True, verbose_name="place behind the front axle, m")),
                ("shelf", models.CharField(blank=True, max_length=40)),
                (
                    "keep_on_shelf",
                    shop.models.exact.QuantityField(
                        default=Decimal("0"), help_text="Order again when free stock falls below this."
                    ),
                ),
                ("discontinued", models.BooleanField(default=False)),
                (
                    "needs_serial",
                    models.BooleanField(
                        blank=True,
                        help_text="Empty: as is usual for its kind.",
                        null=True,
                        verbose_name="needs a serial number",
                    ),
                ),
                ("notes", models.TextField(blank=True)),
            ],
            options={
                "ordering": ["kind", "name"],
                "indexes": [models.Index(fields=["kind", "name"], name="component_by_kind")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("list_price__isnull", True), ("list_price__gte", 0), _connector="OR"),
                        name="component_price_not_negative",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("markup_rate__gte", 0)), name="component_markup_not_negative"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="CountrySheet",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                ("code", models.SlugField(max_length=40, unique=True)),
                ("name", models.CharField(help_text="The place, as it is named on quotes.", max_length=120)),
                (
                    "as_of",
                    models.DateField(
                        help_text="The day it was last held against the authority's own text. Confirm with your authority.",
                        verbose_name="read on",
                    ),
                ),
                (
                    "source",
                    models.CharField(blank=True, help_text="Where the text stands: law, page, letter.", max_length=200),
                ),
                (
                    "mass_share",
                    models.FloatField(
                        blank=True,
                        help_text="As a fraction of the donor's, up or down: 0.20 is ±20 %.",
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(0.0),
                            django.core.validators.MaxValueValidator(1.0),
                        ],
                        verbose_name="kerb mass may move by",
                    ),
                ),
                (
                    "power_share",
                    models.FloatField(
                        blank=True,
                        help_text="As a fraction of the petrol engine's: 1 is not above it.",
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(0.0),
                            django.core.validators.MaxValueValidator(10.0),
                        ],
                        verbose_name="power may be",
                    ),
                ),
                (
                    "power_counts",
                    models.CharField(
                        choices=[("peak", "Peak power"), ("continuous", "Continuous power")],
                        default="peak",
                        max_length=12,
                        verbose_name="power that counts",
                    ),
                ),
                (
                    "least_age_years",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        help_text="Since its first registration.",
                        null=True,
                        verbose_name="donor's least age, years",
                    ),
                ),
                (
                    "front_share_points",
                    models.FloatField(
                        blank=True,
                        help_text="In percentage points of the front axle's share.",
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(0.0),
                            django.core.validators.MaxValueValidator(50.0),
                        ],
                        verbose_name="axle split may move by",
                    ),
                ),
                (
                    "papers",
                    models.TextField(blank=True, help_text="What the authority wants to see, one paper a line."),
                ),
            ],
            options={
                "ordering": ["name"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("mass_share__isnull", True),
                            models.Q(("mass_share__gte", 0.0), ("mass_share__lte", 1.0)),
                            _connector="OR",
                        ),
                        name="country_mass_share_is_a_share",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("power_share__isnull", True), ("power_share__gte", 0.0), _connector="OR"),
                        name="country_power_not_negative",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("front_share_points__isnull", True), ("front_share_points__gte", 0.0), _connector="OR"
                        ),
                        name="country_axle_split_not_negative",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Customer",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                ("email", models.EmailField(blank=True, max_length=254)),
                ("phone", models.CharField(blank=True, max_length=40)),
                ("address", models.TextField(blank=True)),
                ("notes", models.TextField(blank=True, help_text="For the shop only.")),
                ("created_at", models.DateTimeField(auto_now_add=True)),
            ],
            options={
                "ordering": ["name", "pk"],
                "indexes": [models.Index(fields=["name"], name="customer_by_name")],
                "constraints": [
                    models.CheckConstraint(condition=models.Q(("name", ""), _negated=True), name="customer_has_a_name")
                ],
            },
        ),
        migrations.CreateModel(
            name="Donor",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                (
                    "year",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(1900),
                            django.core.validators.MaxValueValidator(2100),
                        ],
                    ),
                ),
                ("vin", models.CharField(blank=True, max_length=30, verbose_name="VIN or frame number")),
                (
                    "market",
                    models.CharField(
                        choices=[("north america", "North America"), ("other", "Elsewhere")],
                        default="north america",
                        max_length=15,
                    ),
                ),
                ("color", models.CharField(blank=True, max_length=40)),
                (
                    "kerb_kg",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="kerb mass as weighed, kg",
                    ),
                ),
                (
                    "gvwr_kg",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="gross weight rating on its plate, kg",
                    ),
                ),
                (
                    "odometer_km",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="odometer, km",
                    ),
                ),
                ("condition", models.TextField(blank=True)),
                ("title_seen", models.BooleanField(blank=True, null=True)),
                ("stolen_check_done", models.BooleanField(blank=True, null=True)),
                ("created_at", models.DateTimeField(auto_now_add=True)),
                (
                    "owner",
                    models.ForeignKey(
                        blank=True,
                        help_text="Empty: yard.",
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="donors",
                        to="shop.customer",
                    ),
                ),
                (
                    "registered_in",
                    models.ForeignKey(
                        blank=True,
                        help_text="Empty: where the shop is.",
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shop.countrysheet",
                    ),
                ),
            ],
            options={
                "ordering": ["family__name", "year", "pk"],
            },
        ),
        migrations.CreateModel(
            name="Build",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                (
                    "link_token",
                    models.CharField(
                        default=shop.models.exact.new_link_token, editable=False, max_length=40, unique=True
                    ),
                ),
                ("number", models.CharField(max_length=20, unique=True)),
                ("option_key", models.CharField(max_length=1)),
                (
                    "job",
                    models.CharField(
                        choices=[
                            ("conversion", "Full conversion"),
                            ("pack_upgrade", "New pack for an earlier build"),
                            ("parts_kit", "Parts-only kit"),
                            ("service", "Service or repair"),
                        ],
                        max_length=15,
                    ),
                ),
                ("title", models.CharField(max_length=160)),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("in_line", "In line"),
                            ("on_bench", "On bench"),
                            ("testing", "Testing"),
                            ("ready", "Ready"),
                            ("handed_over", "Handed over"),
                            ("cancelled", "Cancelled"),
                        ],
                        default="in_line",
                        max_length=12,
                    ),
                ),
                ("place", models.PositiveIntegerField(blank=True, null=True)),
                (
                    "total",
                    shop.models.exact.MoneyField(help_text="What was agreed, tax included, after any allowance."),
                ),
                ("accepted_at", models.DateTimeField()),
                ("need_by", models.DateField(blank=True, null=True)),
                ("promised_from", models.DateField(blank=True, null=True)),
                ("promised_to", models.DateField(blank=True, null=True)),
                ("hold_reason", models.CharField(blank=True, max_length=160)),
                ("finished_at", models.DateTimeField(blank=True, null=True)),
                (
                    "told_ready_on",
                    models.DateField(
                        blank=True, help_text="The day the customer was told; storage counts on.", null=True
                    ),
                ),
                ("handed_over_at", models.DateTimeField(blank=True, null=True)),
                (
                    "customer",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="builds", to="shop.customer"
                    ),
                ),
                (
                    "donor",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="builds",
                        to="shop.donor",
                    ),
                ),
            ],
            options={
                "ordering": [models.OrderBy(models.F("place"), nulls_last=True), "-accepted_at"],
                "indexes": [models.Index(fields=["state"], name="build_by_state")],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("place__isnull", False)), fields=("place",), name="build_place_once"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("state__in", ("handed_over", "cancelled")), ("place__isnull", True)),
                            models.Q(
                                models.Q(("state__in", ("handed_over", "cancelled")), _negated=True),
                                ("place__gte", 1),
                                ("place__isnull", False),
                            ),
                            _connector="OR",
                        ),
                        name="build_place_while_open",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("promised_from__isnull", True), ("promised_to__isnull", True)),
                            models.Q(
                                ("promised_from__isnull", False),
                                ("promised_to__gte", models.F("promised_from")),
                                ("promised_to__isnull", False),
                            ),
                            _connector="OR",
                        ),
                        name="build_promise_in_order",
                    ),
                    models.CheckConstraint(condition=models.Q(("total__gte", 0)), name="build_total_not_negative"),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("state", "handed_over"), _negated=True),
                            ("handed_over_at__isnull", False),
                            _connector="OR",
                        ),
                        name="build_handed_over_has_a_time",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="DonorFamily",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                (
                    "code",
                    models.SlugField(
                        help_text="Adapters name the families they fit by this code.", max_length=40, unique=True
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                ("first_year", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("last_year", models.PositiveSmallIntegerField(blank=True, null=True)),
                (
                    "frame_kind",
                    models.CharField(
                        blank=True, choices=[("cradle", "Cradle"), ("stressed", "Engine carries load")], max_length=10
                    ),
                ),
                (
                    "kerb_kg",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="kerb mass, kg",
                    ),
                ),
                (
                    "removed_kg",
                    models.FloatField(
                        blank=True,
                        help_text="Engine, exhaust, tank, fuel and the rest.",
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="mass that leaves, kg",
                    ),
                ),
                (
                    "removed_x_m",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="its center behind the front axle, m",
                    ),
                ),
                (
                    "wheelbase_m",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="wheelbase, m",
                    ),
                ),
                (
                    "cg_height_m",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="height of the center of mass with rider, m",
                    ),
                ),
                (
                    "front_share",
                    models.FloatField(
                        blank=True,
                        help_text="0.48 is 48 % on the front axle.",
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="front share of kerb mass",
                    ),
                ),
                (
                    "gvwr_kg",
                    models.FloatField(
                        blank=True,
                        help_text="From the plate.",
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="gross weight rating, kg",
                    ),
                ),
                (
                    "gawr_front_kg",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="front axle rating, kg",
                    ),
                ),
                (
                    "gawr_rear_kg",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="rear axle rating, kg",
                    ),
                ),
                (
                    "cda_m2",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="drag area with rider, m2",
                    ),
                ),
                (
                    "crr",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="rolling resistance coefficient",
                    ),
                ),
                (
                    "engine_kw",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="engine power, kW",
                    ),
                ),
                (
                    "system_v",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="electrical system, V",
                    ),
                ),
                ("front_tire", models.CharField(blank=True, help_text="As on the side: 100/90-18.", max_length=30)),
                ("rear_tire", models.CharField(blank=True, help_text="As on the side: 130/70-17.", max_length=30)),
                (
                    "rear_rim_inch",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="rear rim, inch",
                    ),
                ),
                (
                    "dropout_mm",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="rear dropout width, mm",
                    ),
                ),
                (
                    "axle_mm",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="rear axle diameter, mm",
                    ),
                ),
                (
                    "brake_side",
                    models.CharField(blank=True, choices=[("left", "Left"), ("right", "Right")], max_length=5),
                ),
                (
                    "front_brake",
                    models.CharField(blank=True, choices=[("disc", "Disc"), ("drum", "Drum")], max_length=5),
                ),
                (
                    "rear_brake",
                    models.CharField(blank=True, choices=[("disc", "Disc"), ("drum", "Drum")], max_length=5),
                ),
                (
                    "brake_rated_kg",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="brakes rated for, kg",
                    ),
                ),
                ("chain_pitch", models.CharField(blank=True, max_length=8)),
            ],
            options={
                "verbose_name_plural": "donor families",
                "ordering": ["name"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("front_share__isnull", True),
                            models.Q(("front_share__gt", 0), ("front_share__lt", 1)),
                            _connector="OR",
                        ),
                        name="family_front_share_is_a_share",
                    )
                ],
            },
        ),
        migrations.AddField(
            model_name="donor",
            name="family",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="donors", to="shop.donorfamily"
            ),
        ),
        migrations.CreateModel(
            name="Bay",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(max_length=60)),
                (
                    "length_mm",
                    models.FloatField(
                        validators=[django.core.validators.MinValueValidator(1)], verbose_name="length, mm"
                    ),
                ),
                (
                    "width_mm",
                    models.FloatField(
                        validators=[django.core.validators.MinValueValidator(1)], verbose_name="width, mm"
                    ),
                ),
                (
                    "height_mm",
                    models.FloatField(
                        validators=[django.core.validators.MinValueValidator(1)], verbose_name="height, mm"
                    ),
                ),
                ("x_m", models.FloatField(blank=True, null=True, verbose_name="center behind the front axle, m")),
                (
                    "family",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="bays", to="shop.donorfamily"
                    ),
                ),
            ],
            options={
                "ordering": ["family", "pk"],
                "constraints": [models.UniqueConstraint(fields=("family", "name"), name="bay_named_once_per_family")],
            },
        ),
        migrations.CreateModel(
            name="ExchangeRate",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("currency", models.CharField(max_length=3)),
                ("day", models.DateField()),
                ("rate", shop.models.exact.RateField()),
            ],
            options={
                "ordering": ["currency", "-day"],
                "constraints": [
                    models.UniqueConstraint(fields=("currency", "day"), name="exchange_rate_once_a_day"),
                    models.CheckConstraint(condition=models.Q(("rate__gt", 0)), name="exchange_rate_above_zero"),
                ],
            },
        ),
        migrations.CreateModel(
            name="ImportFile",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                (
                    "subject",
                    models.CharField(
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
                ("filename", models.CharField(max_length=120)),
                ("content", models.BinaryField()),
                ("sha256", models.CharField(max_length=64)),
                ("created_at", models.DateTimeField(auto_now_add=True)),
                ("applied_at", models.DateTimeField(blank=True, null=True)),
                ("outcome", models.CharField(blank=True, max_length=120)),
                ("choices", models.JSONField(blank=True, default=dict, help_text="What was chosen with the file.")),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
            ],
            options={
                "ordering": ["-created_at", "-pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("applied_at__isnull", True), ("outcome", "")),
                            models.Q(("applied_at__isnull", False), models.Q(("outcome", ""), _negated=True)),
                            _connector="OR",
                        ),
                        name="import_file_applied_has_outcome",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="LedgerEntry",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                ("number", models.PositiveBigIntegerField(unique=True)),
                (
                    "kind",
                    models.CharField(
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
                ("day", models.DateField(help_text="In the shop's zone.")),
                ("at", models.DateTimeField(auto_now_add=True)),
                (
                    "method",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("cash", "Cash"),
                            ("card", "Card terminal"),
                            ("bank", "Transfer"),
                            ("checks", "Check"),
                        ],
                        max_length=8,
                    ),
                ),
                ("reference", models.CharField(blank=True, max_length=80)),
                ("receipt", models.CharField(blank=True, max_length=20, null=True, unique=True)),
                ("document", models.CharField(blank=True, max_length=20, null=True, unique=True)),
                ("reason", models.CharField(blank=True, max_length=200)),
                ("taxed_ahead", shop.models.exact.MoneyField(default=Decimal("0"))),
                ("key", models.CharField(max_length=80, unique=True)),
                (
                    "build",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="entries",
                        to="shop.build",
                    ),
                ),
                (
                    "concerns",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="followers",
                        to="shop.ledgerentry",
                    ),
                ),
                (
                    "customer",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="entries", to="shop.customer"
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
                    "reverses",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="reversed_by",
                        to="shop.ledgerentry",
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "ledger entries",
                "ordering": ["-number"],
                "indexes": [models.Index(fields=["day"], name="entry_by_day")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind", "reversal"), ("reverses__isnull", False)),
                            models.Q(models.Q(("kind", "reversal"), _negated=True), ("reverses__isnull", True)),
                            _connector="OR",
                        ),
                        name="entry_reversal_names_entry",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("kind__in", ("reversal", "credit_note", "write_off", "refund", "kept")), _negated=True
                            ),
                            models.Q(("reason", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="entry_has_its_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("kind__in", ("deposit", "payment", "refund", "kept")), ("receipt__isnull", False)
                            ),
                            models.Q(
                                models.Q(("kind__in", ("deposit", "payment", "refund", "kept")), _negated=True),
                                ("receipt__isnull", True),
                            ),
                            _connector="OR",
                        ),
                        name="entry_has_its_receipt",
                    ),
                    models.CheckConstraint(
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
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind__in", ("deposit", "payment", "refund", "cleared")), _negated=True),
                            models.Q(("method", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="entry_has_its_method",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("kind", "reversal"),
                            models.Q(
                                ("concerns__isnull", False),
                                ("kind__in", ("payment", "cleared", "applied", "credit_note", "write_off")),
                            ),
                            models.Q(
                                models.Q(
                                    ("kind__in", ("payment", "cleared", "applied", "credit_note", "write_off")),
                                    _negated=True,
                                ),
                                ("concerns__isnull", True),
                            ),
                            _connector="OR",
                        ),
                        name="entry_names_what_it_concerns",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("kind", "reversal"), ("build__isnull", False), _connector="OR"),
                        name="entry_has_its_build",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="EntryTax",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("position", models.PositiveSmallIntegerField()),
                ("authority", models.CharField(max_length=120)),
                ("level", models.CharField(max_length=20)),
                ("taxable", shop.models.exact.MoneyField()),
                ("amount", shop.models.exact.MoneyField()),
                ("ahead", models.BooleanField(default=False)),
                (
                    "entry",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="taxes", to="shop.ledgerentry"
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "entry taxes",
                "ordering": ["entry", "position"],
                "constraints": [
                    models.UniqueConstraint(fields=("entry", "position"), name="entry_tax_once_per_position")
                ],
            },
        ),
        migrations.CreateModel(
            name="LineLock",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("revision", models.PositiveBigIntegerField(default=0)),
            ],
            options={
                "constraints": [models.CheckConstraint(condition=models.Q(("pk", 1)), name="line_lock_is_one_row")],
            },
        ),
        migrations.CreateModel(
            name="Offer",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("supplier_code", models.CharField(blank=True, max_length=60, verbose_name="supplier's code")),
                ("unit_cost", shop.models.exact.MoneyField(help_text="In the supplier's currency.")),
                (
                    "freight_share",
                    shop.models.exact.MoneyField(default=Decimal("0"), help_text="Per unit, in the shop's currency."),
                ),
                ("duty_rate", shop.models.exact.RateField(default=Decimal("0"))),
                ("priced_on", models.DateField()),
                ("lead_low_days", models.PositiveSmallIntegerField(blank=True, null=True)),
                (
                    "lead_days",
                    models.PositiveSmallIntegerField(blank=True, help_text="Likely, in calendar days.", null=True),
                ),
                ("lead_high_days", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("least_quantity", shop.models.exact.QuantityField(default=Decimal("1"))),
                ("pack_quantity", shop.models.exact.QuantityField(default=Decimal("1"))),
                ("preferred", models.BooleanField(default=True)),
                (
                    "component",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="offers", to="shop.component"
                    ),
                ),
                (
                    "supplier",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="offers", to="shop.supplier"
                    ),
                ),
            ],
            options={
                "ordering": ["component", "-preferred", "unit_cost"],
                "constraints": [
                    models.UniqueConstraint(fields=("component", "supplier"), name="offer_once_per_supplier"),
                    models.UniqueConstraint(
                        condition=models.Q(("preferred", True)),
                        fields=("component",),
                        name="offer_one_preferred_per_component",
                    ),
                    models.CheckConstraint(condition=models.Q(("unit_cost__gte", 0)), name="offer_cost_not_negative"),
                    models.CheckConstraint(
                        condition=models.Q(("least_quantity__gt", 0), ("pack_quantity__gt", 0)),
                        name="offer_quantities_above_zero",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="OfferBreak",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("from_quantity", shop.models.exact.QuantityField()),
                ("unit_cost", shop.models.exact.MoneyField(help_text="In the supplier's currency.")),
                (
                    "offer",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="breaks", to="shop.offer"
                    ),
                ),
            ],
            options={
                "ordering": ["offer", "from_quantity"],
                "constraints": [
                    models.UniqueConstraint(fields=("offer", "from_quantity"), name="offer_break_once_per_quantity"),
                    models.CheckConstraint(
                        condition=models.Q(("from_quantity__gt", 0)), name="offer_break_quantity_above_zero"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("unit_cost__gte", 0)), name="offer_break_cost_not_negative"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="OpeningHours",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "weekday",
                    models.PositiveSmallIntegerField(
                        choices=[
                            (0, "Monday"),
                            (1, "Tuesday"),
                            (2, "Wednesday"),
                            (3, "Thursday"),
                            (4, "Friday"),
                            (5, "Saturday"),
                            (6, "Sunday"),
                        ]
                    ),
                ),
                ("start", models.TimeField()),
                ("end", models.TimeField()),
            ],
            options={
                "verbose_name_plural": "opening hours",
                "ordering": ["weekday", "start"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("end__gt", models.F("start"))), name="opening_ends_after_start"
                    ),
                    models.UniqueConstraint(fields=("weekday", "start"), name="opening_once_per_start"),
                ],
            },
        ),
        migrations.CreateModel(
            name="PartNeed",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("quantity", shop.models.exact.QuantityField()),
                ("step_code", models.SlugField(blank=True, max_length=30)),
                (
                    "build",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="needs", to="shop.build"
                    ),
                ),
                (
                    "component",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="needs", to="shop.component"
                    ),
                ),
                (
                    "instead_of",
                    models.ForeignKey(
                        blank=True,
                        help_text="What was quoted.",
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shop.component",
                    ),
                ),
            ],
            options={
                "ordering": ["build", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("build", "component"), name="need_once_per_component"),
                    models.CheckConstraint(condition=models.Q(("quantity__gte", 0)), name="need_quantity_not_negative"),
                ],
            },
        ),
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
                    "borrower",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="borrowed", to="shop.partneed"
                    ),
                ),
                (
                    "lender",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="lent", to="shop.partneed"
                    ),
                ),
            ],
            options={
                "ordering": ["at", "pk"],
                "constraints": [
                    models.CheckConstraint(condition=models.Q(("quantity__gt", 0)), name="lending_quantity_above_zero"),
                    models.CheckConstraint(
                        condition=models.Q(("assured__gte", models.F("quantity"))), name="lending_assures_what_it_lends"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("reason", ""), _negated=True), name="lending_has_reason"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("lender", models.F("borrower")), _negated=True), name="lending_to_another"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Person",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                ("name", models.CharField(max_length=80, unique=True)),
                ("active", models.BooleanField(default=True)),
                (
                    "user",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="person",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "people",
                "ordering": ["name"],
            },
        ),
        migrations.CreateModel(
            name="Leave",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("first", models.DateField()),
                ("last", models.DateField()),
                ("reason", models.CharField(blank=True, max_length=120)),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="leaves", to="shop.person"
                    ),
                ),
            ],
            options={
                "ordering": ["first"],
                "constraints": [
                    models.CheckConstraint(condition=models.Q(("last__gte", models.F("first"))), name="leave_in_order")
                ],
            },
        ),
        migrations.CreateModel(
            name="Feed",
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
                    models.CharField(choices=[("work", "Bench work"), ("finishes", "Promised finishes")], max_length=8),
                ),
                ("label", models.CharField(max_length=60)),
                ("token_sha256", models.CharField(editable=False, max_length=64, unique=True)),
                ("key", models.CharField(max_length=60, unique=True)),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                ("revoked_at", models.DateTimeField(blank=True, null=True)),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "who",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="feeds",
                        to="shop.person",
                    ),
                ),
            ],
            options={
                "ordering": ["-made_at", "-pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind", "work"), ("who__isnull", False)),
                            models.Q(("kind", "finishes"), ("who__isnull", True)),
                            _connector="OR",
                        ),
                        name="feed_of_a_person_or_the_shop",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="BuildStep",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                ("position", models.PositiveSmallIntegerField()),
                ("code", models.SlugField(max_length=30)),
                ("label", models.CharField(max_length=80)),
                ("low_h", shop.models.exact.HoursField(default=Decimal("0"))),
                ("likely_h", shop.models.exact.HoursField(default=Decimal("0"))),
                ("high_h", shop.models.exact.HoursField(default=Decimal("0"))),
                ("quoted_h", shop.models.exact.HoursField(default=Decimal("0"))),
                (
                    "learned_factor",
                    shop.models.exact.RateField(
                        default=Decimal("1"), help_text="What the estimate was shifted by when it was quoted."
                    ),
                ),
                ("lead_days", models.PositiveSmallIntegerField(default=0)),
                (
                    "state",
                    models.CharField(
                        choices=[("todo", "To do"), ("doing", "In progress"), ("done", "Done")],
                        default="todo",
                        max_length=6,
                    ),
                ),
                ("started_at", models.DateTimeField(blank=True, null=True)),
                ("finished_at", models.DateTimeField(blank=True, null=True)),
                ("actual_h", shop.models.exact.HoursField(blank=True, null=True)),
                (
                    "bench",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="steps",
                        to="shop.bench",
                    ),
                ),
                (
                    "bench_type",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shop.benchtype",
                    ),
                ),
                (
                    "build",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="steps", to="shop.build"
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="steps",
                        to="shop.person",
                    ),
                ),
            ],
            options={
                "ordering": ["build", "position"],
                "constraints": [
                    models.UniqueConstraint(fields=("build", "code"), name="build_step_once_per_code"),
                    models.UniqueConstraint(fields=("build", "position"), name="build_step_once_per_position"),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("finished_at__isnull", True), ("started_at__isnull", True), ("state", "todo")),
                            models.Q(("finished_at__isnull", True), ("started_at__isnull", False), ("state", "doing")),
                            models.Q(
                                ("finished_at__gte", models.F("started_at")),
                                ("finished_at__isnull", False),
                                ("started_at__isnull", False),
                                ("state", "done"),
                            ),
                            _connector="OR",
                        ),
                        name="build_step_times_fit_state",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("high_h__gte", models.F("likely_h")),
                            ("likely_h__gte", models.F("low_h")),
                            ("low_h__gte", 0),
                        ),
                        name="build_step_hours_rise",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="BookedStep",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("bench", models.CharField(blank=True, max_length=60)),
                ("pieces", models.JSONField(default=list)),
                ("sequence", models.PositiveIntegerField(default=0)),
                ("changed_at", models.DateTimeField()),
                (
                    "step",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE, related_name="booked", to="shop.buildstep"
                    ),
                ),
                (
                    "who",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="booked", to="shop.person"
                    ),
                ),
            ],
            options={
                "ordering": ["step"],
            },
        ),
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
                "constraints": [
                    models.CheckConstraint(condition=models.Q(("samples__gte", 1)), name="plan_odds_have_samples"),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("from_level__gt", 0), ("to_level__gte", models.F("from_level")), ("to_level__lt", 100)
                        ),
                        name="plan_odds_levels_in_order",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Posting",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("day", models.DateField(editable=False)),
                (
                    "debit",
                    models.CharField(
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
                (
                    "credit",
                    models.CharField(
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
                ("amount", shop.models.exact.MoneyField()),
                (
                    "build",
                    models.ForeignKey(
                        db_index=False,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shop.build",
                    ),
                ),
                (
                    "entry",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="postings", to="shop.ledgerentry"
                    ),
                ),
            ],
            options={
                "ordering": ["entry", "pk"],
                "indexes": [
                    models.Index(
                        condition=models.Q(("debit", "deposits"), ("credit", "deposits"), _connector="OR"),
                        fields=["build", "day", "debit", "credit", "amount"],
                        name="posting_of_deposits",
                    ),
                    models.Index(fields=["debit", "credit", "day", "amount"], name="posting_by_accounts"),
                ],
                "constraints": [
                    models.CheckConstraint(condition=models.Q(("amount__gt", 0)), name="posting_amount_above_zero"),
                    models.CheckConstraint(
                        condition=models.Q(("debit", models.F("credit")), _negated=True),
                        name="posting_moves_between_accounts",
                    ),
                    models.CheckConstraint(
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
                ],
            },
        ),
        migrations.CreateModel(
            name="PromiseEntry",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "kind",
                    models.CharField(
                        choices=[("first", "First promise"), ("agreed", "With a change order"), ("changed", "Changed")],
                        max_length=8,
                    ),
                ),
                ("finish_from", models.DateField()),
                ("finish_to", models.DateField()),
                ("reason", models.CharField(blank=True, max_length=300)),
                (
                    "basis",
                    models.CharField(
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
                (
                    "odds",
                    models.JSONField(blank=True, encoder=django.core.serializers.json.DjangoJSONEncoder, null=True),
                ),
                ("from_level", models.FloatField(blank=True, null=True)),
                ("to_level", models.FloatField(blank=True, null=True)),
                ("revision", models.PositiveBigIntegerField()),
                ("at", models.DateTimeField(auto_now_add=True)),
                (
                    "build",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="promises", to="shop.build"
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
            ],
            options={
                "verbose_name_plural": "promise entries",
                "ordering": ["build", "at", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("finish_to__gte", models.F("finish_from"))), name="promise_entry_in_order"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("kind", "first"), models.Q(("reason", ""), _negated=True), _connector="OR"),
                        name="promise_change_has_reason",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("kind", "first")), fields=("build",), name="promise_first_once"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("basis__in", ["odds", "old_odds", "person"]),
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
                ],
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
                (
                    "build",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="mails",
                        to="shop.build",
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
                    "order",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="mails",
                        to="shop.purchaseorder",
                    ),
                ),
            ],
            options={
                "ordering": ["-at", "-pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("build__isnull", True), ("order__isnull", False)),
                            models.Q(("build__isnull", False), ("order__isnull", True)),
                            _connector="OR",
                        ),
                        name="mail_about_one_thing",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("sent_at__isnull", False), ("state", "sent")),
                            models.Q(models.Q(("state", "sent"), _negated=True), ("sent_at__isnull", True)),
                            _connector="OR",
                        ),
                        name="mail_sent_has_a_time",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="PurchaseOrderLine",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                ("quantity", shop.models.exact.QuantityField()),
                ("unit_cost", shop.models.exact.MoneyField(help_text="In the supplier's currency.")),
                (
                    "invoiced_cost",
                    shop.models.exact.MoneyField(
                        blank=True, help_text="What the supplier charged, when it is not what was ordered.", null=True
                    ),
                ),
                (
                    "cancelled",
                    shop.models.exact.QuantityField(default=Decimal("0"), help_text="Units that will not come."),
                ),
                (
                    "expected_on",
                    models.DateField(blank=True, help_text="Empty: the supplier has given no day.", null=True),
                ),
                (
                    "acknowledged_on",
                    models.DateField(blank=True, help_text="When the supplier confirmed the line.", null=True),
                ),
                (
                    "component",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="order_lines", to="shop.component"
                    ),
                ),
                (
                    "order",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="lines", to="shop.purchaseorder"
                    ),
                ),
            ],
            options={
                "ordering": ["order", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("order", "component"), name="order_line_once_per_component"),
                    models.CheckConstraint(
                        condition=models.Q(("quantity__gt", 0)), name="order_line_quantity_above_zero"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("unit_cost__gte", 0)), name="order_line_cost_not_negative"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("invoiced_cost__isnull", True), ("invoiced_cost__gte", 0), _connector="OR"),
                        name="order_line_charge_not_negative",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("cancelled__gte", 0), ("cancelled__lte", models.F("quantity"))),
                        name="order_line_cancels_its_own",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="ExpectedDateChange",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("old", models.DateField(blank=True, null=True)),
                ("new", models.DateField(blank=True, null=True)),
                ("reason", models.CharField(max_length=200)),
                (
                    "entry",
                    models.CharField(blank=True, help_text="The same for lines changed in one act.", max_length=20),
                ),
                ("at", models.DateTimeField(auto_now_add=True)),
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
                    "undoes",
                    models.OneToOneField(
                        blank=True,
                        help_text="Taken back by this.",
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="undone_by",
                        to="shop.expecteddatechange",
                    ),
                ),
                (
                    "line",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="date_changes",
                        to="shop.purchaseorderline",
                    ),
                ),
            ],
            options={
                "ordering": ["line", "at", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("reason", ""), _negated=True), name="date_change_has_reason"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Quote",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                ("number", models.CharField(max_length=20, unique=True)),
                (
                    "link_token",
                    models.CharField(
                        default=shop.models.exact.new_link_token, editable=False, max_length=40, unique=True
                    ),
                ),
                (
                    "job",
                    models.CharField(
                        choices=[
                            ("conversion", "Full conversion"),
                            ("pack_upgrade", "New pack for an earlier build"),
                            ("parts_kit", "Parts-only kit"),
                            ("service", "Service or repair"),
                        ],
                        default="conversion",
                        max_length=15,
                    ),
                ),
                ("start_key", models.CharField(editable=False, max_length=60, null=True, unique=True)),
                ("created_at", models.DateTimeField(auto_now_add=True)),
                (
                    "created_by",
                    models.ForeignKey(
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "customer",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="quotes",
                        to="shop.customer",
                    ),
                ),
                (
                    "donor",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="quotes",
                        to="shop.donor",
                    ),
                ),
            ],
            options={
                "ordering": ["-created_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="Event",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("at", models.DateTimeField(auto_now_add=True)),
                ("verb", models.CharField(max_length=40)),
                ("subject", models.CharField(max_length=60)),
                ("before", models.CharField(blank=True, max_length=300)),
                ("after", models.CharField(blank=True, max_length=300)),
                ("reason", models.CharField(blank=True, max_length=300)),
                (
                    "key",
                    models.CharField(
                        blank=True, help_text="Makes a repeat harmless.", max_length=80, null=True, unique=True
                    ),
                ),
                (
                    "build",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="events",
                        to="shop.build",
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
                    "quote",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="events",
                        to="shop.quote",
                    ),
                ),
            ],
            options={
                "ordering": ["-at", "-pk"],
                "indexes": [models.Index(fields=["subject"], name="event_by_subject")],
            },
        ),
        migrations.CreateModel(
            name="OptionPart",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("quantity", shop.models.exact.QuantityField(default=Decimal("1"))),
                (
                    "conductors",
                    models.PositiveSmallIntegerField(
                        default=1, validators=[django.core.validators.MinValueValidator(1)]
                    ),
                ),
                (
                    "unit_price",
                    shop.models.exact.MoneyField(
                        blank=True, help_text="Set by hand; empty takes the catalogue's price.", null=True
                    ),
                ),
                (
                    "component",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to="shop.component"
                    ),
                ),
                (
                    "option",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="parts", to="shop.quoteoption"
                    ),
                ),
            ],
            options={
                "ordering": ["option", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("option", "component"), name="part_once_per_option"),
                    models.CheckConstraint(condition=models.Q(("quantity__gt", 0)), name="part_quantity_above_zero"),
                    models.CheckConstraint(
                        condition=models.Q(("unit_price__isnull", True), ("unit_price__gte", 0), _connector="OR"),
                        name="part_price_not_negative",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="OptionExtra",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("outside", "Outside work"),
                            ("consumables", "Consumables"),
                            ("freight", "Freight"),
                            ("fee", "Fee"),
                            ("other", "Other"),
                        ],
                        max_length=12,
                    ),
                ),
                ("label", models.CharField(max_length=120)),
                ("amount", shop.models.exact.MoneyField()),
                ("cost", shop.models.exact.MoneyField(blank=True, null=True)),
                (
                    "tax_class",
                    models.CharField(
                        choices=[
                            ("parts", "Parts"),
                            ("fabrication_labor", "Fabrication labor"),
                            ("repair_labor", "Repair labor"),
                            ("vehicle", "Vehicle"),
                            ("freight", "Freight"),
                            ("fee", "Fee"),
                        ],
                        default="fee",
                        max_length=20,
                    ),
                ),
                (
                    "option",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="extras", to="shop.quoteoption"
                    ),
                ),
            ],
            options={
                "ordering": ["option", "pk"],
                "constraints": [
                    models.CheckConstraint(condition=models.Q(("amount__gte", 0)), name="extra_amount_not_negative")
                ],
            },
        ),
        migrations.CreateModel(
            name="CheckDecision",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("rule", models.CharField(max_length=80)),
                ("reason", models.CharField(max_length=300)),
                ("findings", models.TextField(blank=True, help_text="What was seen, a finding a line.")),
                ("margin", models.FloatField(blank=True, help_text="The worst margin that was accepted.", null=True)),
                ("at", models.DateTimeField(auto_now=True)),
                (
                    "person",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "option",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="decisions", to="shop.quoteoption"
                    ),
                ),
            ],
            options={
                "ordering": ["option", "rule"],
                "constraints": [
                    models.UniqueConstraint(fields=("option", "rule"), name="decision_once_per_rule"),
                    models.CheckConstraint(
                        condition=models.Q(("reason", ""), _negated=True), name="decision_has_a_reason"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="QuoteVersion",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                ("number", models.PositiveSmallIntegerField(default=1)),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("draft", "Draft"),
                            ("offered", "Offered"),
                            ("accepted", "Accepted"),
                            ("declined", "Declined"),
                            ("lapsed", "Lapsed"),
                            ("replaced", "Replaced"),
                        ],
                        default="draft",
                        max_length=10,
                    ),
                ),
                (
                    "town_km",
                    models.FloatField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(0)]),
                ),
                (
                    "back_road_km",
                    models.FloatField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(0)]),
                ),
                (
                    "highway_km",
                    models.FloatField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(0)]),
                ),
                (
                    "held_kmh",
                    models.FloatField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(0)]),
                ),
                (
                    "top_kmh",
                    models.FloatField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(0)]),
                ),
                (
                    "hill_percent",
                    models.FloatField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(0)]),
                ),
                ("budget", shop.models.exact.MoneyField(blank=True, null=True)),
                (
                    "circuit_v",
                    models.FloatField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(0)]),
                ),
                (
                    "circuit_a",
                    models.FloatField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(0)]),
                ),
                (
                    "overnight_h",
                    models.FloatField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(0)]),
                ),
                ("two_up", models.BooleanField(default=False)),
                ("by_carrier", models.BooleanField(default=False, verbose_name="leaves by carrier")),
                ("note", models.TextField(blank=True, verbose_name="note to the customer")),
                ("saved_at", models.DateTimeField(auto_now=True)),
                ("offered_at", models.DateTimeField(blank=True, null=True)),
                ("valid_until", models.DateField(blank=True, null=True)),
                (
                    "request",
                    models.JSONField(blank=True, encoder=django.core.serializers.json.DjangoJSONEncoder, null=True),
                ),
                (
                    "result",
                    models.JSONField(blank=True, encoder=django.core.serializers.json.DjangoJSONEncoder, null=True),
                ),
                ("accepted_option", models.CharField(blank=True, max_length=1)),
                (
                    "quote",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="versions", to="shop.quote"
                    ),
                ),
                (
                    "tax_place",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shop.taxplace",
                    ),
                ),
            ],
            options={
                "ordering": ["quote", "-number"],
                "indexes": [models.Index(fields=["state", "valid_until"], name="version_by_state_and_validity")],
                "constraints": [
                    models.UniqueConstraint(fields=("quote", "number"), name="version_once_per_number"),
                    models.UniqueConstraint(
                        condition=models.Q(("state", "draft")), fields=("quote",), name="version_one_draft_per_quote"
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("state", "offered")),
                        fields=("quote",),
                        name="version_one_offered_per_quote",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("offered_at__isnull", True),
                                ("request__isnull", True),
                                ("result__isnull", True),
                                ("state", "draft"),
                            ),
                            models.Q(
                                models.Q(("state", "draft"), _negated=True),
                                ("offered_at__isnull", False),
                                ("valid_until__isnull", False),
                                ("request__isnull", False),
                                ("result__isnull", False),
                            ),
                            _connector="OR",
                        ),
                        name="version_frozen_when_offered",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("state", "accepted"), models.Q(("accepted_option", ""), _negated=True)),
                            models.Q(models.Q(("state", "accepted"), _negated=True), ("accepted_option", "")),
                            _connector="OR",
                        ),
                        name="version_accepted_names_option",
                    ),
                ],
            },
        ),
        migrations.AddField(
            model_name="quoteoption",
            name="version",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE, related_name="options", to="shop.quoteversion"
            ),
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
                            ("change", "Change order"),
                            ("agreed", "Change order, agreed"),
                        ],
                        max_length=12,
                    ),
                ),
                ("day", models.DateField(blank=True, help_text="A statement's day.", null=True)),
                ("at", models.DateTimeField(auto_now_add=True)),
                (
                    "build",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="papers",
                        to="shop.build",
                    ),
                ),
                (
                    "customer",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="papers",
                        to="shop.customer",
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
                    "entry",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="papers",
                        to="shop.ledgerentry",
                    ),
                ),
                (
                    "file",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="papers", to="shop.paperfile"
                    ),
                ),
                (
                    "version",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="papers",
                        to="shop.quoteversion",
                    ),
                ),
            ],
            options={
                "ordering": ["-at", "-pk"],
                "constraints": [
                    models.CheckConstraint(
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
                    models.UniqueConstraint(
                        condition=models.Q(("version__isnull", False)),
                        fields=("version", "kind"),
                        name="paper_once_a_version_and_kind",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("entry__isnull", False)),
                        fields=("entry", "kind"),
                        name="paper_once_an_entry_and_kind",
                    ),
                ],
            },
        ),
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
                (
                    "accepted_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "build",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="changes", to="shop.build"
                    ),
                ),
                (
                    "started_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "base",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="changed_by", to="shop.quoteversion"
                    ),
                ),
                (
                    "version",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT, related_name="change", to="shop.quoteversion"
                    ),
                ),
            ],
            options={
                "ordering": ["-started_at", "-pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("version", models.F("base")), _negated=True),
                        name="change_is_another_version",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("reason", ""), _negated=True), name="change_has_a_reason"
                    ),
                    models.CheckConstraint(
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
                ],
            },
        ),
        migrations.AddField(
            model_name="build",
            name="version",
            field=models.OneToOneField(
                on_delete=django.db.models.deletion.PROTECT, related_name="build", to="shop.quoteversion"
            ),
        ),
        migrations.CreateModel(
            name="Replan",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                ("revision", models.PositiveBigIntegerField()),
                ("method", models.CharField(max_length=20)),
                ("ended_lateness", models.CharField(max_length=12)),
                ("ended_flow", models.CharField(max_length=12)),
                ("lateness_before_h", models.FloatField()),
                ("lateness_h", models.FloatField()),
                ("lateness_bound_h", models.FloatField()),
                ("flow_before_h", models.FloatField()),
                ("flow_h", models.FloatField()),
                ("flow_bound_h", models.FloatField()),
                ("builds", models.JSONField(encoder=django.core.serializers.json.DjangoJSONEncoder)),
                ("steps", models.JSONField(encoder=django.core.serializers.json.DjangoJSONEncoder)),
                ("turns", models.JSONField(default=list)),
                ("followed_at", models.DateTimeField(blank=True, null=True)),
                (
                    "followed_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["-made_at", "-pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("followed_at__isnull", True), ("followed_by__isnull", True)),
                            models.Q(("followed_at__isnull", False), ("followed_by__isnull", False)),
                            _connector="OR",
                        ),
                        name="replan_followed_by_somebody",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Skill",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("code", models.SlugField(max_length=30, unique=True)),
                ("label", models.CharField(max_length=60)),
                ("rate", shop.models.exact.MoneyField(help_text="Sold per hour.")),
                ("cost_rate", shop.models.exact.MoneyField(help_text="Costs the shop per hour.")),
                (
                    "tax_class",
                    models.CharField(
                        choices=[
                            ("parts", "Parts"),
                            ("fabrication_labor", "Fabrication labor"),
                            ("repair_labor", "Repair labor"),
                            ("vehicle", "Vehicle"),
                            ("freight", "Freight"),
                            ("fee", "Fee"),
                        ],
                        default="fabrication_labor",
                        max_length=20,
                    ),
                ),
            ],
            options={
                "ordering": ["label"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("cost_rate__gte", 0), ("rate__gte", 0)), name="skill_rates_not_negative"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="RoutingStep",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "job",
                    models.CharField(
                        choices=[
                            ("conversion", "Full conversion"),
                            ("pack_upgrade", "New pack for an earlier build"),
                            ("parts_kit", "Parts-only kit"),
                            ("service", "Service or repair"),
                        ],
                        max_length=15,
                    ),
                ),
                ("position", models.PositiveSmallIntegerField()),
                ("code", models.SlugField(max_length=30)),
                ("label", models.CharField(max_length=80)),
                ("low_h", shop.models.exact.HoursField(default=Decimal("0"))),
                ("likely_h", shop.models.exact.HoursField(default=Decimal("0"))),
                ("high_h", shop.models.exact.HoursField(default=Decimal("0"))),
                (
                    "lead_days",
                    models.PositiveSmallIntegerField(default=0, help_text="Outside work: calendar days, no bench."),
                ),
                ("needs_kinds", models.JSONField(blank=True, default=list, validators=[shop.models.bench.known_kinds])),
                (
                    "bench_type",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shop.benchtype",
                    ),
                ),
                (
                    "family",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="routing_steps",
                        to="shop.donorfamily",
                    ),
                ),
                (
                    "skill",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shop.skill",
                    ),
                ),
            ],
            options={
                "ordering": ["job", "family", "position"],
                "constraints": [
                    models.UniqueConstraint(fields=("job", "family", "code"), name="routing_step_once_per_family"),
                    models.UniqueConstraint(
                        condition=models.Q(("family__isnull", True)),
                        fields=("job", "code"),
                        name="routing_step_once_for_all_families",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("high_h__gte", models.F("likely_h")),
                            ("likely_h__gte", models.F("low_h")),
                            ("low_h__gte", 0),
                        ),
                        name="routing_step_hours_rise",
                    ),
                ],
            },
        ),
        migrations.AddField(
            model_name="person",
            name="skills",
            field=models.ManyToManyField(blank=True, related_name="people", to="shop.skill"),
        ),
        migrations.CreateModel(
            name="OptionStep",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("position", models.PositiveSmallIntegerField()),
                ("code", models.SlugField(max_length=30)),
                ("label", models.CharField(max_length=80)),
                ("low_h", shop.models.exact.HoursField(default=Decimal("0"))),
                ("likely_h", shop.models.exact.HoursField(default=Decimal("0"))),
                ("high_h", shop.models.exact.HoursField(default=Decimal("0"))),
                (
                    "hours",
                    shop.models.exact.HoursField(
                        blank=True, help_text="Set by hand; empty takes the estimate.", null=True
                    ),
                ),
                ("lead_days", models.PositiveSmallIntegerField(default=0)),
                ("needs_kinds", models.JSONField(blank=True, default=list)),
                (
                    "rate",
                    shop.models.exact.MoneyField(
                        blank=True, help_text="An hour's price agreed before; empty takes the skill's.", null=True
                    ),
                ),
                (
                    "learned_factor",
                    shop.models.exact.RateField(
                        default=Decimal("1"), help_text="What finished builds made of the routing's estimate."
                    ),
                ),
                ("learned_builds", models.PositiveSmallIntegerField(default=0)),
                (
                    "bench_type",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shop.benchtype",
                    ),
                ),
                (
                    "option",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="steps", to="shop.quoteoption"
                    ),
                ),
                (
                    "skill",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shop.skill",
                    ),
                ),
            ],
            options={
                "ordering": ["option", "position"],
                "constraints": [
                    models.UniqueConstraint(fields=("option", "code"), name="option_step_once_per_code"),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("high_h__gte", models.F("likely_h")),
                            ("likely_h__gte", models.F("low_h")),
                            ("low_h__gte", 0),
                        ),
                        name="option_step_hours_rise",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("hours__isnull", True), ("hours__gte", 0), _connector="OR"),
                        name="option_step_hours_not_negative",
                    ),
                ],
            },
        ),
        migrations.AddField(
            model_name="buildstep",
            name="skill",
            field=models.ForeignKey(
                blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name="+", to="shop.skill"
            ),
        ),
        migrations.CreateModel(
            name="StepTurn",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "public_id",
                    models.CharField(
                        default=shop.models.exact.new_public_id, editable=False, max_length=20, unique=True
                    ),
                ),
                ("reason", models.CharField(max_length=160)),
                ("at", models.DateTimeField(auto_now_add=True)),
                (
                    "first",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="turns_before", to="shop.buildstep"
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
                    "then",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="turns_after", to="shop.buildstep"
                    ),
                ),
            ],
            options={
                "ordering": ["at", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("first", "then"), name="step_turn_once"),
                    models.CheckConstraint(
                        condition=models.Q(("first", models.F("then")), _negated=True), name="step_turn_of_two_steps"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="StockMove",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "kind",
                    models.CharField(
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
                (
                    "on_hand",
                    shop.models.exact.QuantityField(
                        default=Decimal("0"), help_text="Change of the quantity on the shelf."
                    ),
                ),
                (
                    "reserved",
                    shop.models.exact.QuantityField(
                        default=Decimal("0"), help_text="Change of the quantity kept for builds."
                    ),
                ),
                ("batch", models.CharField(blank=True, help_text="The maker's batch, for cells.", max_length=60)),
                ("reason", models.CharField(blank=True, max_length=200)),
                ("at", models.DateTimeField(auto_now_add=True)),
                (
                    "key",
                    models.CharField(
                        blank=True, help_text="Makes a repeat harmless.", max_length=80, null=True, unique=True
                    ),
                ),
                (
                    "component",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="moves", to="shop.component"
                    ),
                ),
                (
                    "need",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="moves",
                        to="shop.partneed",
                    ),
                ),
                (
                    "order_line",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="moves",
                        to="shop.purchaseorderline",
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
            ],
            options={
                "ordering": ["-at", "-pk"],
                "indexes": [
                    models.Index(fields=["component", "on_hand", "reserved"], name="move_sums"),
                    models.Index(fields=["need", "kind", "on_hand", "reserved"], name="move_by_need"),
                    models.Index(fields=["component", "kind"], name="move_by_component"),
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("on_hand", 0), ("reserved", 0), _negated=True), name="move_moves_something"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind__in", ["received", "returned"]), ("on_hand__gt", 0), ("reserved", 0)),
                            models.Q(("kind", "counted"), ("reserved", 0)),
                            models.Q(("kind__in", ["scrapped", "sent_back"]), ("on_hand__lt", 0), ("reserved", 0)),
                            models.Q(
                                ("kind", "reserved"), ("need__isnull", False), ("on_hand", 0), ("reserved__gt", 0)
                            ),
                            models.Q(
                                ("kind", "released"), ("need__isnull", False), ("on_hand", 0), ("reserved__lt", 0)
                            ),
                            models.Q(
                                ("kind", "issued"), ("need__isnull", False), ("on_hand__lt", 0), ("reserved__lte", 0)
                            ),
                            _connector="OR",
                        ),
                        name="move_signs_fit_kind",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind__in", ["counted", "scrapped", "sent_back"]), _negated=True),
                            models.Q(("reason", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="move_difference_has_reason",
                    ),
                ],
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
                (
                    "component",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="units", to="shop.component"
                    ),
                ),
                (
                    "need",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="units",
                        to="shop.partneed",
                    ),
                ),
                (
                    "order_line",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="units",
                        to="shop.purchaseorderline",
                    ),
                ),
            ],
            options={
                "ordering": ["entered_at", "pk"],
                "constraints": [
                    models.UniqueConstraint(
                        models.F("component"),
                        django.db.models.functions.text.Upper("serial"),
                        name="unit_serial_once_per_component",
                    ),
                    models.CheckConstraint(condition=models.Q(("serial", ""), _negated=True), name="unit_has_a_serial"),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("place", "shelf"),
                            models.Q(("need__isnull", False), ("place", "build")),
                            models.Q(("need__isnull", True), ("place__in", ["supplier", "scrapped", "missing"])),
                            _connector="OR",
                        ),
                        name="unit_is_in_one_place",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Substitute",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("note", models.CharField(blank=True, max_length=200)),
                (
                    "component",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="substitutes", to="shop.component"
                    ),
                ),
                (
                    "stand_in",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="stands_in_for", to="shop.component"
                    ),
                ),
            ],
            options={
                "ordering": ["component", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("component", "stand_in"), name="substitute_once_per_pair"),
                    models.CheckConstraint(
                        condition=models.Q(("component", models.F("stand_in")), _negated=True),
                        name="substitute_is_another_part",
                    ),
                ],
            },
        ),
        migrations.AddField(
            model_name="purchaseorder",
            name="supplier",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="orders", to="shop.supplier"
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
        migrations.CreateModel(
            name="SupplierClosure",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("first", models.DateField()),
                ("last", models.DateField()),
                (
                    "supplier",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="closures", to="shop.supplier"
                    ),
                ),
            ],
            options={
                "ordering": ["first"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("last__gte", models.F("first"))), name="supplier_closure_in_order"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="SupplierColumns",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("headings", models.JSONField(default=dict)),
                (
                    "supplier",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="price_list_columns",
                        to="shop.supplier",
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "supplier columns",
            },
        ),
        migrations.CreateModel(
            name="TaxAuthority",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(max_length=120)),
                ("level", models.CharField(help_text="state, county, city, district, country", max_length=20)),
                (
                    "code",
                    models.CharField(
                        blank=True, help_text="As the authority publishes it, leading zeros kept.", max_length=20
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "tax authorities",
                "ordering": ["name"],
                "constraints": [models.UniqueConstraint(fields=("name", "level"), name="tax_authority_once")],
            },
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
                    "customer",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="certificates", to="shop.customer"
                    ),
                ),
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
                "indexes": [models.Index(fields=["zip_low", "kind"], name="boundary_by_zip")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("zip_high__gte", models.F("zip_low"))), name="boundary_zip_in_order"
                    ),
                    models.CheckConstraint(
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
                    models.CheckConstraint(
                        condition=models.Q(("end__isnull", True), ("end__gte", models.F("begin")), _connector="OR"),
                        name="boundary_in_order",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Shop",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(max_length=120)),
                ("address", models.TextField(help_text="As printed on documents.")),
                ("email", models.EmailField(blank=True, max_length=254)),
                ("phone", models.CharField(blank=True, max_length=40)),
                ("currency", models.CharField(default="USD", help_text="ISO 4217 code.", max_length=3)),
                (
                    "locale",
                    models.CharField(default="en-US", help_text="How money and dates are written.", max_length=12),
                ),
                (
                    "zone",
                    models.CharField(
                        default="America/New_York", max_length=60, validators=[shop.models.shop.real_zone]
                    ),
                ),
                (
                    "units",
                    models.CharField(
                        choices=[("us", "Miles, pounds, horsepower"), ("metric", "Kilometers, kilograms, kilowatts")],
                        default="us",
                        max_length=8,
                    ),
                ),
                (
                    "paper",
                    models.CharField(choices=[("Letter", "US Letter"), ("A4", "A4")], default="Letter", max_length=8),
                ),
                (
                    "tax_sourcing",
                    models.CharField(
                        choices=[("shop", "The shop's place"), ("delivery", "The place it is delivered to")],
                        default="shop",
                        help_text="Which place taxes what leaves by carrier. What is picked up here is taxed here.",
                        max_length=8,
                    ),
                ),
                (
                    "tax_number",
                    models.CharField(
                        blank=True,
                        help_text="As the authority gave it: VAT number, or the permit to collect sales tax.",
                        max_length=40,
                    ),
                ),
                (
                    "tax_rounding",
                    models.CharField(
                        choices=[
                            ("invoice", "On the document's total"),
                            ("rate", "On each rate's total"),
                            ("line", "On each line"),
                        ],
                        default="invoice",
                        max_length=8,
                    ),
                ),
                (
                    "valid_days",
                    models.PositiveSmallIntegerField(
                        default=30, validators=[django.core.validators.MinValueValidator(1)]
                    ),
                ),
                ("deposit_rate", shop.models.exact.RateField(default=Decimal("0.30"))),
                ("deposit_minimum", shop.models.exact.MoneyField(default=Decimal("0"))),
                (
                    "deposit_fixed",
                    shop.models.exact.MoneyField(
                        blank=True, help_text="When set, used instead of the percentage.", null=True
                    ),
                ),
                (
                    "parts_deposit_rate",
                    shop.models.exact.RateField(
                        default=Decimal("0"),
                        help_text="Share of the price paid in all before parts are ordered. 0: no such stage.",
                    ),
                ),
                (
                    "keep_from",
                    models.CharField(
                        choices=[
                            ("never", "Never: it is given back whole"),
                            ("parts", "Once parts are ordered or kept for it"),
                            ("work", "Once work has begun"),
                        ],
                        default="never",
                        max_length=8,
                    ),
                ),
                (
                    "kept_basis",
                    models.CharField(
                        choices=[
                            ("spent", "Its parts and hours at the agreed price"),
                            ("share", "A share of what was paid"),
                        ],
                        default="spent",
                        max_length=8,
                    ),
                ),
                (
                    "kept_rate",
                    shop.models.exact.RateField(
                        default=Decimal("0"), help_text="Of what was paid; used when a share is kept."
                    ),
                ),
                (
                    "change_deposit_rate",
                    shop.models.exact.RateField(
                        default=Decimal("0"),
                        help_text="Share of what a change order adds to the price, asked as a further deposit.",
                    ),
                ),
                (
                    "replanning_h",
                    shop.models.exact.HoursField(
                        default=Decimal("0"), help_text="Hours charged for planning a running build anew. 0: none."
                    ),
                ),
                (
                    "replanning_rate",
                    shop.models.exact.MoneyField(default=Decimal("0"), help_text="What such an hour is sold for."),
                ),
                (
                    "learn_hours",
                    models.BooleanField(
                        default=True, help_text="Estimates of new quotes follow what finished builds took."
                    ),
                ),
                (
                    "deposit_terms",
                    models.TextField(blank=True, help_text="Printed on quotes and receipts, in plain words."),
                ),
                (
                    "hours_percentile",
                    models.PositiveSmallIntegerField(
                        default=60,
                        validators=[
                            django.core.validators.MinValueValidator(5),
                            django.core.validators.MaxValueValidator(95),
                        ],
                    ),
                ),
                ("contingency_rate", shop.models.exact.RateField(default=Decimal("0"))),
                ("margin_floor", shop.models.exact.RateField(default=Decimal("0.20"))),
                (
                    "discount_limit",
                    shop.models.exact.RateField(
                        default=Decimal("0.10"), help_text="The most the counter may give without the owner."
                    ),
                ),
                ("stale_after_days", models.PositiveSmallIntegerField(default=60)),
                (
                    "duty_on_freight",
                    models.BooleanField(
                        default=False,
                        help_text="Whether customs takes its share of the freight too. Ask your customs office.",
                    ),
                ),
                ("handling_days", models.PositiveSmallIntegerField(default=1, help_text="From the door to the bench.")),
                ("usable_share", models.FloatField(default=0.92, help_text="Share of the pack's energy a rider uses.")),
                ("rider_kg", models.FloatField(default=80.0)),
                ("passenger_kg", models.FloatField(default=75.0)),
                ("luggage_kg", models.FloatField(default=10.0)),
                ("auxiliary_w", models.FloatField(default=60.0, help_text="Lamps and electronics while riding.")),
                ("warm_c", models.FloatField(default=20.0)),
                ("cold_c", models.FloatField(default=0.0)),
                ("storage_free_days", models.PositiveSmallIntegerField(default=5)),
                (
                    "storage_fee",
                    shop.models.exact.MoneyField(
                        default=Decimal("0"), help_text="Per day after the free days. 0 for none."
                    ),
                ),
                (
                    "home_country_sheet",
                    models.ForeignKey(
                        blank=True,
                        help_text="Limits on conversions where most of your bikes are registered. Confirm with your authority.",
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shop.countrysheet",
                    ),
                ),
                (
                    "home_tax_place",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shop.taxplace",
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "shop",
                "constraints": [
                    models.CheckConstraint(condition=models.Q(("pk", 1)), name="shop_is_one_row"),
                    models.CheckConstraint(
                        condition=models.Q(("deposit_rate__gte", 0), ("deposit_rate__lte", Decimal("1"))),
                        name="shop_deposit_rate_is_a_share",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("parts_deposit_rate__gte", 0), ("parts_deposit_rate__lte", Decimal("1"))),
                        name="shop_parts_deposit_rate_is_a_share",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("kept_rate__gte", 0), ("kept_rate__lte", Decimal("1"))),
                        name="shop_kept_rate_is_a_share",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("change_deposit_rate__gte", 0), ("change_deposit_rate__lte", Decimal("1"))),
                        name="shop_change_deposit_rate_is_a_share",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("replanning_h__gte", 0), ("replanning_rate__gte", 0)),
                        name="shop_replanning_not_negative",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("deposit_minimum__gte", 0)), name="shop_deposit_minimum_not_negative"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("margin_floor__gte", 0), ("margin_floor__lt", Decimal("1"))),
                        name="shop_margin_floor_under_one",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="TaxPlaceAuthority",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("position", models.PositiveSmallIntegerField(default=1)),
                (
                    "authority",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="layers", to="shop.taxauthority"
                    ),
                ),
                (
                    "place",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="layers", to="shop.taxplace"
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "tax place authorities",
                "ordering": ["place", "position"],
                "constraints": [
                    models.UniqueConstraint(fields=("place", "authority"), name="tax_authority_once_per_place")
                ],
            },
        ),
        migrations.AddField(
            model_name="taxplace",
            name="authorities",
            field=models.ManyToManyField(
                related_name="places", through="shop.TaxPlaceAuthority", to="shop.taxauthority"
            ),
        ),
        migrations.CreateModel(
            name="TaxRate",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "tax_class",
                    models.CharField(
                        choices=[
                            ("parts", "Parts"),
                            ("fabrication_labor", "Fabrication labor"),
                            ("repair_labor", "Repair labor"),
                            ("vehicle", "Vehicle"),
                            ("freight", "Freight"),
                            ("fee", "Fee"),
                        ],
                        max_length=20,
                    ),
                ),
                ("taxed", models.BooleanField(default=True)),
                (
                    "rate",
                    shop.models.exact.RateField(default=Decimal("0"), help_text="As a fraction: 0.0725 is 7.25 %."),
                ),
                ("begin", models.DateField()),
                ("end", models.DateField(blank=True, null=True)),
                (
                    "cap",
                    shop.models.exact.MoneyField(
                        blank=True, help_text="Greatest taxable amount per document.", null=True
                    ),
                ),
                (
                    "threshold",
                    shop.models.exact.MoneyField(blank=True, help_text="Taxed only above this amount.", null=True),
                ),
                (
                    "whole",
                    models.BooleanField(
                        default=False,
                        help_text="Above the threshold the whole amount is taxed, not only what exceeds it.",
                        verbose_name="all or nothing",
                    ),
                ),
                (
                    "per_item",
                    models.BooleanField(
                        default=False, help_text="Cap and threshold hold for each item, not the document."
                    ),
                ),
                (
                    "authority",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="rates", to="shop.taxauthority"
                    ),
                ),
            ],
            options={
                "ordering": ["authority", "tax_class", "begin"],
                "constraints": [
                    models.UniqueConstraint(fields=("authority", "tax_class", "begin"), name="tax_rate_once_per_begin"),
                    models.CheckConstraint(
                        condition=models.Q(("rate__gte", 0), ("rate__lt", Decimal("1"))), name="tax_rate_is_a_share"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("end__isnull", True), ("end__gte", models.F("begin")), _connector="OR"),
                        name="tax_rate_in_order",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("taxed", True), ("rate", 0), _connector="OR"),
                        name="tax_rate_zero_when_not_taxed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("whole", False),
                            models.Q(("threshold__gt", 0), ("threshold__isnull", False)),
                            _connector="OR",
                        ),
                        name="tax_rate_whole_has_threshold",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="UnitMove",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "move",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="unit_moves", to="shop.stockmove"
                    ),
                ),
                (
                    "unit",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="moves", to="shop.stockunit"
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [models.UniqueConstraint(fields=("unit", "move"), name="unit_move_once")],
            },
        ),
        migrations.CreateModel(
            name="BenchDowntime",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("first", models.DateField()),
                ("last", models.DateField()),
                ("reason", models.CharField(max_length=120)),
                (
                    "bench",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="downtimes", to="shop.bench"
                    ),
                ),
            ],
            options={
                "ordering": ["first"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("last__gte", models.F("first"))), name="bench_downtime_in_order"
                    )
                ],
            },
        ),
        migrations.AddConstraint(
            model_name="donor",
            constraint=models.UniqueConstraint(
                condition=models.Q(("vin", ""), _negated=True),
                fields=("family", "vin"),
                name="donor_vin_once_per_family",
            ),
        ),
        migrations.AddConstraint(
            model_name="quoteoption",
            constraint=models.UniqueConstraint(fields=("version", "key"), name="option_once_per_key"),
        ),
    ]
