"""Orders keep the key of the form that made them, so that pressing twice makes one."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0005_open_builds_have_a_place"),
    ]

    operations = [
        migrations.AddField(
            model_name="purchaseorder",
            name="key",
            field=models.CharField(
                blank=True,
                editable=False,
                help_text="Makes a repeat harmless.",
                max_length=80,
                null=True,
                unique=True,
            ),
        ),
    ]
