"""Indexes that hold the figures of a move, so that balances stay sums however many moves there are."""

from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0011_tax_sourcing"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AddIndex(
            model_name="stockmove",
            index=models.Index(fields=["component", "on_hand", "reserved"], name="move_sums"),
        ),
        migrations.AddIndex(
            model_name="stockmove",
            index=models.Index(fields=["need", "kind", "on_hand", "reserved"], name="move_by_need"),
        ),
    ]
