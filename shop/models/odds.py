"""Simulated runs of the shop, kept so that a page only reads them."""

from __future__ import annotations

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.db.models import Q


class PlanOdds(models.Model):
    """How sure the finish days are at one revision of the plan, as the worker drew it. One row per revision.

    `day` in the shop's zone on which the runs begin; `read_at` the moment the shop was read, `made_at` when the runs
    were kept. `timelines` what one more build is put into, drawn with `samples` runs; `few_timelines` the same with
    fewer, for a web process whose loops are not compiled. `line` the odds of each open build by its number.
    `from_level` and `to_level` the levels [%] whose days are told, `rates` what finished promises say of 50, 80 and
    90 %.
    """

    revision = models.PositiveBigIntegerField(unique=True)
    day = models.DateField()
    read_at = models.DateTimeField()
    made_at = models.DateTimeField(auto_now=True)
    samples = models.PositiveIntegerField()
    seed = models.PositiveIntegerField()
    compiled = models.BooleanField()
    hours_center = models.FloatField()
    hours_spread = models.FloatField()
    from_level = models.FloatField()
    to_level = models.FloatField()
    rates = models.JSONField(default=list, encoder=DjangoJSONEncoder)
    line = models.JSONField(default=dict, encoder=DjangoJSONEncoder)
    timelines = models.BinaryField()
    few_timelines = models.BinaryField()

    class Meta:
        ordering = ["-revision"]
        verbose_name_plural = "plan odds"
        constraints = [
            models.CheckConstraint(condition=Q(samples__gte=1), name="plan_odds_have_samples"),
            models.CheckConstraint(
                condition=Q(from_level__gt=0, to_level__gte=models.F("from_level"), to_level__lt=100),
                name="plan_odds_levels_in_order",
            ),
        ]

    def __str__(self) -> str:
        return f"odds at revision {self.revision}"
