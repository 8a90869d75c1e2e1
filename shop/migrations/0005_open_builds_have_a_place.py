"""Open builds have a place, promises both ends, finished steps a time: checks that came out NULL let rows through."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0004_decisions_keep_what_was_seen"),
    ]

    operations = [
        migrations.RemoveConstraint(
            model_name="build",
            name="build_place_while_open",
        ),
        migrations.RemoveConstraint(
            model_name="build",
            name="build_promise_in_order",
        ),
        migrations.RemoveConstraint(
            model_name="buildstep",
            name="build_step_times_fit_state",
        ),
        migrations.AddConstraint(
            model_name="build",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("state__in", ("handed_over", "cancelled")), ("place__isnull", True)),
                    models.Q(
                        models.Q(("state__in", ("handed_over", "cancelled")), _negated=True),
                        ("place__gte", 1),
                        ("place__isnull", False),
                    ),
                    _connector="OR",
                ),
                name="build_place_while_open",
            ),
        ),
        migrations.AddConstraint(
            model_name="build",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("promised_from__isnull", True), ("promised_to__isnull", True)),
                    models.Q(
                        ("promised_from__isnull", False),
                        ("promised_to__gte", models.F("promised_from")),
                        ("promised_to__isnull", False),
                    ),
                    _connector="OR",
                ),
                name="build_promise_in_order",
            ),
        ),
        migrations.AddConstraint(
            model_name="buildstep",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("finished_at__isnull", True), ("started_at__isnull", True), ("state", "todo")),
                    models.Q(("finished_at__isnull", True), ("started_at__isnull", False), ("state", "doing")),
                    models.Q(
                        ("finished_at__gte", models.F("started_at")),
                        ("finished_at__isnull", False),
                        ("started_at__isnull", False),
                        ("state", "done"),
                    ),
                    _connector="OR",
                ),
                name="build_step_times_fit_state",
            ),
        ),
    ]
