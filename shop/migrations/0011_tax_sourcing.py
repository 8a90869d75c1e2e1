from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0010_quote_start_key"),
    ]

    operations = [
        migrations.AddField(
            model_name="shop",
            name="tax_sourcing",
            field=models.CharField(
                choices=[("shop", "The shop's place"), ("delivery", "The place it is delivered to")],
                default="shop",
                help_text="Which place taxes what leaves by carrier. What is picked up here is taxed here.",
                max_length=8,
            ),
        ),
    ]
