"""What re-planning found: another order of work, kept until the plan has moved on."""

from __future__ import annotations

from django.conf import settings
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.db.models import Q

from shop.models.exact import new_public_id


class Replan(models.Model):
    """The best plan `manage.py replan` found for a revision of the plan. Nothing follows it until somebody says so.

    `builds` number, likely finish before and after, promised day, and why no order can help it, empty when one might;
    `steps` build, step, start, end, person, bench;
    `turns` [build, step, then build, then step] that make the shop's own plan follow it. Lateness and flow in open
    hours [h]. `method`, `ended_lateness` and `ended_flow` as `quoting.replanning` names them.
    """

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    made_at = models.DateTimeField(auto_now_add=True)
    revision = models.PositiveBigIntegerField()
    method = models.CharField(max_length=20)
    ended_lateness = models.CharField(max_length=12)
    ended_flow = models.CharField(max_length=12)
    lateness_before_h = models.FloatField()
    lateness_h = models.FloatField()
    lateness_bound_h = models.FloatField()
    flow_before_h = models.FloatField()
    flow_h = models.FloatField()
    flow_bound_h = models.FloatField()
    builds = models.JSONField(encoder=DjangoJSONEncoder)
    steps = models.JSONField(encoder=DjangoJSONEncoder)
    turns = models.JSONField(default=list)
    followed_at = models.DateTimeField(null=True, blank=True)
    followed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(followed_at__isnull=True, followed_by__isnull=True)
                | Q(followed_at__isnull=False, followed_by__isnull=False),
                name="replan_followed_by_somebody",
            )
        ]

    def __str__(self) -> str:
        return f"re-plan of revision {self.revision}"
