"""Country sheets: limits on conversions by place, for the shop and for a bike registered elsewhere."""

import django.core.validators
import django.db.models.deletion
import shop.models.exact
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0009_import_files"),
    ]

    operations = [
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
        migrations.AddField(
            model_name="donor",
            name="registered_in",
            field=models.ForeignKey(
                blank=True,
                help_text="Empty: where the shop is.",
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="shop.countrysheet",
            ),
        ),
        migrations.AddField(
            model_name="shop",
            name="home_country_sheet",
            field=models.ForeignKey(
                blank=True,
                help_text="Limits on conversions where most of your bikes are registered. Confirm with your authority.",
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="shop.countrysheet",
            ),
        ),
    ]
