"""Builds: what an accepted quote becomes."""

from __future__ import annotations

from decimal import Decimal

from django.conf import settings
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.db.models import F, Q

from shop.models.bench import Job
from shop.models.exact import HoursField, MoneyField, QuantityField, RateField, new_link_token, new_public_id


class BuildState(models.TextChoices):
    IN_LINE = "in_line", "In line"
    ON_BENCH = "on_bench", "On bench"
    TESTING = "testing", "Testing"
    READY = "ready", "Ready"
    HANDED_OVER = "handed_over", "Handed over"
    CANCELLED = "cancelled", "Cancelled"


CLOSED_STATES = (BuildState.HANDED_OVER, BuildState.CANCELLED)


class Build(models.Model):
    """One bike, or one kit, from deposit to handover. `place` counts from 1 among open builds only."""

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    link_token = models.CharField(max_length=40, unique=True, default=new_link_token, editable=False)
    number = models.CharField(max_length=20, unique=True)
    version = models.OneToOneField("shop.QuoteVersion", on_delete=models.PROTECT, related_name="build")
    option_key = models.CharField(max_length=1)
    customer = models.ForeignKey("shop.Customer", on_delete=models.PROTECT, related_name="builds")
    donor = models.ForeignKey("shop.Donor", null=True, blank=True, on_delete=models.PROTECT, related_name="builds")
    job = models.CharField(max_length=15, choices=Job)
    title = models.CharField(max_length=160)
    state = models.CharField(max_length=12, choices=BuildState, default=BuildState.IN_LINE)
    place = models.PositiveIntegerField(null=True, blank=True)
    total = MoneyField(help_text="What was agreed, tax included, after any allowance.")
    accepted_at = models.DateTimeField()
    need_by = models.DateField(null=True, blank=True)
    promised_from = models.DateField(null=True, blank=True)
    promised_to = models.DateField(null=True, blank=True)
    hold_reason = models.CharField(max_length=160, blank=True)
    finished_at = models.DateTimeField(null=True, blank=True)
    told_ready_on = models.DateField(
        null=True, blank=True, help_text="The day the customer was told; storage counts on."
    )
    handed_over_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = [F("place").asc(nulls_last=True), "-accepted_at"]
        indexes = [models.Index(fields=["state"], name="build_by_state")]  # every line and plan reads open builds
        # A check that comes out NULL passes in SQL, so each says which values must be there.
        constraints = [
            models.UniqueConstraint(fields=["place"], condition=Q(place__isnull=False), name="build_place_once"),
            models.CheckConstraint(
                condition=(Q(state__in=CLOSED_STATES) & Q(place__isnull=True))
                | (~Q(state__in=CLOSED_STATES) & Q(place__isnull=False, place__gte=1)),
                name="build_place_while_open",
            ),
            models.CheckConstraint(
                condition=Q(promised_from__isnull=True, promised_to__isnull=True)
                | Q(promised_from__isnull=False, promised_to__isnull=False, promised_to__gte=F("promised_from")),
                name="build_promise_in_order",
            ),
            models.CheckConstraint(condition=Q(total__gte=0), name="build_total_not_negative"),
            models.CheckConstraint(
                condition=~Q(state="handed_over") | Q(handed_over_at__isnull=False), name="build_handed_over_has_a_time"
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def is_open(self) -> bool:
        return self.state not in CLOSED_STATES

    @property
    def on_hold(self) -> bool:
        return bool(self.hold_reason)


class StepState(models.TextChoices):
    TODO = "todo", "To do"
    DOING = "doing", "In progress"
    DONE = "done", "Done"


class BuildStep(models.Model):
    """A step of a build."""

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="steps")
    position = models.PositiveSmallIntegerField()
    code = models.SlugField(max_length=30)
    label = models.CharField(max_length=80)
    skill = models.ForeignKey("shop.Skill", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    bench_type = models.ForeignKey("shop.BenchType", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    low_h = HoursField(default=Decimal(0))
    likely_h = HoursField(default=Decimal(0))
    high_h = HoursField(default=Decimal(0))
    quoted_h = HoursField(default=Decimal(0))
    learned_factor = RateField(default=Decimal(1), help_text="What the estimate was shifted by when it was quoted.")
    lead_days = models.PositiveSmallIntegerField(default=0)
    state = models.CharField(max_length=6, choices=StepState, default=StepState.TODO)
    person = models.ForeignKey("shop.Person", null=True, blank=True, on_delete=models.PROTECT, related_name="steps")
    bench = models.ForeignKey("shop.Bench", null=True, blank=True, on_delete=models.PROTECT, related_name="steps")
    started_at = models.DateTimeField(null=True, blank=True)
    finished_at = models.DateTimeField(null=True, blank=True)
    actual_h = HoursField(null=True, blank=True)

    class Meta:
        ordering = ["build", "position"]
        constraints = [
            models.UniqueConstraint(fields=["build", "code"], name="build_step_once_per_code"),
            models.UniqueConstraint(fields=["build", "position"], name="build_step_once_per_position"),
            models.CheckConstraint(
                condition=Q(state="todo", started_at__isnull=True, finished_at__isnull=True)
                | Q(state="doing", started_at__isnull=False, finished_at__isnull=True)
                | Q(
                    state="done",
                    started_at__isnull=False,
                    finished_at__isnull=False,
                    finished_at__gte=F("started_at"),
                ),
                name="build_step_times_fit_state",
            ),
            models.CheckConstraint(
                condition=Q(low_h__gte=0, likely_h__gte=F("low_h"), high_h__gte=F("likely_h")),
                name="build_step_hours_rise",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.build} {self.label}"


class PartNeed(models.Model):
    """What a build needs of a component. Reserved and issued amounts are sums of stock moves.

    Zero: a change order took the component off, and moves still name the need.
    """

    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="needs")
    component = models.ForeignKey("shop.Component", on_delete=models.PROTECT, related_name="needs")
    quantity = QuantityField()
    step_code = models.SlugField(max_length=30, blank=True)
    instead_of = models.ForeignKey(
        "shop.Component",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        help_text="What was quoted.",
    )

    class Meta:
        ordering = ["build", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["build", "component"], name="need_once_per_component"),
            models.CheckConstraint(condition=Q(quantity__gte=0), name="need_quantity_not_negative"),
        ]

    def __str__(self) -> str:
        return f"{self.build}: {self.quantity} {self.component.code}"


class PromiseEntry(models.Model):
    """A finish window that was given, to whom it counts and why it changed. Append-only.

    `basis` what the window was taken from. `odds` the whole distribution that was known then (a `quoting.result.Odds`
    as JSON) and the levels [%] of its two days, also beside days a person named; empty where no runs were known.
    """

    class Kind(models.TextChoices):
        FIRST = "first", "First promise"
        AGREED = "agreed", "With a change order"
        CHANGED = "changed", "Changed"

    class Basis(models.TextChoices):
        ODDS = "odds", "Simulated runs"
        OLD_ODDS = "old_odds", "Simulated runs from before the last change"
        PLAN = "plan", "Likely and slow hours, no simulated runs yet"
        PERSON = "person", "Named by a person"

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="promises")
    kind = models.CharField(max_length=8, choices=Kind)
    finish_from = models.DateField()
    finish_to = models.DateField()
    reason = models.CharField(max_length=300, blank=True)
    basis = models.CharField(max_length=8, choices=Basis, default=Basis.PERSON)
    odds = models.JSONField(null=True, blank=True, encoder=DjangoJSONEncoder)
    from_level = models.FloatField(null=True, blank=True)
    to_level = models.FloatField(null=True, blank=True)
    revision = models.PositiveBigIntegerField()
    person = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        verbose_name_plural = "promise entries"
        ordering = ["build", "at", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(finish_to__gte=F("finish_from")), name="promise_entry_in_order"),
            models.CheckConstraint(condition=Q(kind="first") | ~Q(reason=""), name="promise_change_has_reason"),
            models.UniqueConstraint(fields=["build"], condition=Q(kind="first"), name="promise_first_once"),
            models.CheckConstraint(
                condition=Q(
                    basis__in=["odds", "old_odds", "person"],
                    odds__isnull=False,
                    from_level__isnull=False,
                    to_level__isnull=False,
                )
                | Q(basis__in=["plan", "person"], odds__isnull=True, from_level__isnull=True, to_level__isnull=True),
                name="promise_entry_says_its_basis",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.build}: {self.finish_from} to {self.finish_to}"
