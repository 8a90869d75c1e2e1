"""Benches, skills, people, and the steps a job is made of."""

from __future__ import annotations

from decimal import Decimal

from django.conf import settings
from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q

from quoting.parts import KINDS
from shop.models.catalogue import TaxClass
from shop.models.exact import HoursField, MoneyField, new_public_id


class Job(models.TextChoices):
    CONVERSION = "conversion", "Full conversion"
    PACK_UPGRADE = "pack_upgrade", "New pack for an earlier build"
    PARTS_KIT = "parts_kit", "Parts-only kit"
    SERVICE = "service", "Service or repair"


class Skill(models.Model):
    """What somebody can do, what an hour of it is sold for and costs."""

    code = models.SlugField(max_length=30, unique=True)
    label = models.CharField(max_length=60)
    rate = MoneyField(help_text="Sold per hour.")
    cost_rate = MoneyField(help_text="Costs the shop per hour.")
    tax_class = models.CharField(max_length=20, choices=TaxClass, default=TaxClass.FABRICATION)

    class Meta:
        ordering = ["label"]
        constraints = [
            models.CheckConstraint(condition=Q(rate__gte=0, cost_rate__gte=0), name="skill_rates_not_negative")
        ]

    def __str__(self) -> str:
        return self.label


class BenchType(models.Model):
    """A type of work place: fabrication, pack, electric, test."""

    code = models.SlugField(max_length=30, unique=True)
    label = models.CharField(max_length=60)

    class Meta:
        ordering = ["label"]

    def __str__(self) -> str:
        return self.label


class Bench(models.Model):
    """One work place."""

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    name = models.CharField(max_length=60, unique=True)
    bench_type = models.ForeignKey(BenchType, on_delete=models.PROTECT, related_name="benches")
    active = models.BooleanField(default=True)

    class Meta:
        verbose_name_plural = "benches"
        ordering = ["bench_type__label", "name"]

    def __str__(self) -> str:
        return self.name


class BenchDowntime(models.Model):
    """Days a bench cannot be used, both ends included."""

    bench = models.ForeignKey(Bench, on_delete=models.CASCADE, related_name="downtimes")
    first = models.DateField()
    last = models.DateField()
    reason = models.CharField(max_length=120)

    class Meta:
        ordering = ["first"]
        constraints = [models.CheckConstraint(condition=Q(last__gte=F("first")), name="bench_downtime_in_order")]

    def __str__(self) -> str:
        return f"{self.bench}: {self.first} to {self.last}"


class Person(models.Model):
    """Someone who works here."""

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    name = models.CharField(max_length=80, unique=True)
    user = models.OneToOneField(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL, related_name="person"
    )
    skills = models.ManyToManyField(Skill, blank=True, related_name="people")
    active = models.BooleanField(default=True)

    class Meta:
        verbose_name_plural = "people"
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Leave(models.Model):
    """Days somebody is away, both ends included."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="leaves")
    first = models.DateField()
    last = models.DateField()
    reason = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["first"]
        constraints = [models.CheckConstraint(condition=Q(last__gte=F("first")), name="leave_in_order")]

    def __str__(self) -> str:
        return f"{self.person}: {self.first} to {self.last}"


def known_kinds(value: object) -> None:
    """A list of component kinds."""
    if not isinstance(value, list) or any(kind not in KINDS for kind in value):
        raise ValidationError(f"Use a list of component kinds: {', '.join(KINDS)}.")


class RoutingStep(models.Model):
    """A step of a kind of job, with its three-point estimate; for one donor family, or for all without their own."""

    job = models.CharField(max_length=15, choices=Job)
    family = models.ForeignKey(
        "shop.DonorFamily", null=True, blank=True, on_delete=models.CASCADE, related_name="routing_steps"
    )
    position = models.PositiveSmallIntegerField()
    code = models.SlugField(max_length=30)
    label = models.CharField(max_length=80)
    skill = models.ForeignKey(Skill, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    bench_type = models.ForeignKey(BenchType, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    low_h = HoursField(default=Decimal(0))
    likely_h = HoursField(default=Decimal(0))
    high_h = HoursField(default=Decimal(0))
    lead_days = models.PositiveSmallIntegerField(default=0, help_text="Outside work: calendar days, no bench.")
    needs_kinds = models.JSONField(default=list, blank=True, validators=[known_kinds])

    class Meta:
        ordering = ["job", "family", "position"]
        constraints = [
            models.UniqueConstraint(fields=["job", "family", "code"], name="routing_step_once_per_family"),
            models.UniqueConstraint(
                fields=["job", "code"], condition=Q(family__isnull=True), name="routing_step_once_for_all_families"
            ),
            models.CheckConstraint(
                condition=Q(low_h__gte=0, likely_h__gte=F("low_h"), high_h__gte=F("likely_h")),
                name="routing_step_hours_rise",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_job_display()}: {self.label}"
