"""A price list is a file that is looked over before it is applied."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0012_stock_sums"),
    ]

    operations = [
        migrations.AlterField(
            model_name="importfile",
            name="subject",
            field=models.CharField(
                choices=[
                    ("components", "Components"),
                    ("tax_rates", "Tax rates"),
                    ("tax_zips", "ZIP codes"),
                    ("prices", "Price list"),
                ],
                default="components",
                max_length=12,
            ),
        ),
    ]
