"""Decisions on check findings keep what was seen when they were made."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0003_roles"),
    ]

    operations = [
        migrations.AddField(
            model_name="checkdecision",
            name="findings",
            field=models.TextField(blank=True, help_text="What was seen, a finding a line."),
        ),
        migrations.AddField(
            model_name="checkdecision",
            name="margin",
            field=models.FloatField(blank=True, help_text="The worst margin that was accepted.", null=True),
        ),
    ]
