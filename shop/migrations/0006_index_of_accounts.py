"""Sums of accounts read their index in the order of the groups."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0005_exempt_certificates"),
    ]

    operations = [
        migrations.RemoveIndex(
            model_name="posting",
            name="posting_by_day",
        ),
        migrations.AddIndex(
            model_name="posting",
            index=models.Index(fields=["debit", "credit", "day", "amount"], name="posting_by_accounts"),
        ),
    ]
