"""Caps and thresholds per item; tax rounded on the total of each rate."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0006_orders_made_once"),
    ]

    operations = [
        migrations.AddField(
            model_name="taxrate",
            name="per_item",
            field=models.BooleanField(
                default=False, help_text="Cap and threshold hold for each item, not the document."
            ),
        ),
        migrations.AlterField(
            model_name="shop",
            name="tax_rounding",
            field=models.CharField(
                choices=[
                    ("invoice", "On the document's total"),
                    ("rate", "On each rate's total"),
                    ("line", "On each line"),
                ],
                default="invoice",
                max_length=8,
            ),
        ),
    ]
