"""An index of deposits: what is held for each build on a day is a sum over all there ever were."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0011_tax_sourcing"),
    ]

    operations = [
        migrations.AddIndex(
            model_name="posting",
            index=models.Index(
                condition=models.Q(("debit", "deposits"), ("credit", "deposits"), _connector="OR"),
                fields=["entry", "debit", "credit", "amount"],
                name="posting_of_deposits",
            ),
        ),
    ]
