"""Wishes for a top speed, and for a hill to be climbed for good."""

import django.core.validators
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0010_country_sheets"),
    ]

    operations = [
        migrations.AddField(
            model_name="quoteversion",
            name="hill_percent",
            field=models.FloatField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(0)]),
        ),
        migrations.AddField(
            model_name="quoteversion",
            name="top_kmh",
            field=models.FloatField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(0)]),
        ),
    ]
