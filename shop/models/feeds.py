"""Calendars by secret link, and the bench work as it was last put into them."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from shop.models.exact import new_public_id


class FeedKind(models.TextChoices):
    WORK = "work", "Bench work"
    FINISHES = "finishes", "Promised finishes"


class Feed(models.Model):
    """A calendar somebody follows from a phone or another program, without an account.

    The link's token is shown once, when it is made: only its SHA-256 stays here, so that neither a backup nor anybody
    with a look at the database can open it. A lost link is revoked and another one made. `key` of the form it was made
    with, so that a second press makes no second one.
    """

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    kind = models.CharField(max_length=8, choices=FeedKind)
    who = models.ForeignKey("shop.Person", null=True, blank=True, on_delete=models.CASCADE, related_name="feeds")
    label = models.CharField(max_length=60)
    token_sha256 = models.CharField(max_length=64, unique=True, editable=False)
    key = models.CharField(max_length=60, unique=True)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(kind="work", who__isnull=False) | Q(kind="finishes", who__isnull=True),
                name="feed_of_a_person_or_the_shop",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}: {self.label}"


class BookedStep(models.Model):
    """A step as calendars were last told: who, where and when by the likely plan.

    `pieces` [start, end] of each day's work, ISO 8601, none while the plan has no day for it. `sequence` counts its
    changes, which RFC 5545 asks of an event that is told anew; `changed_at` when it was told.
    """

    step = models.OneToOneField("shop.BuildStep", on_delete=models.CASCADE, related_name="booked")
    who = models.ForeignKey("shop.Person", on_delete=models.CASCADE, related_name="booked")
    bench = models.CharField(max_length=60, blank=True)
    pieces = models.JSONField(default=list)
    sequence = models.PositiveIntegerField(default=0)
    changed_at = models.DateTimeField()

    class Meta:
        ordering = ["step"]

    def __str__(self) -> str:
        return f"{self.step}: {len(self.pieces)} pieces of work"


class BookedPlan(models.Model):
    """One row: when the booked steps were last worked out, and from which revision of the plan."""

    worked_out_at = models.DateTimeField()
    revision = models.PositiveBigIntegerField()

    class Meta:
        constraints = [models.CheckConstraint(condition=Q(pk=1), name="booked_plan_is_one_row")]

    def __str__(self) -> str:
        return f"revision {self.revision}"
