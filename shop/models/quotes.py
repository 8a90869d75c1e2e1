"""Quotes: a conversation with up to three options, in versions that never change once offered."""

from __future__ import annotations

from decimal import Decimal

from django.conf import settings
from django.core.serializers.json import DjangoJSONEncoder
from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q

from shop.models.bench import Job
from shop.models.catalogue import TaxClass
from shop.models.exact import HoursField, MoneyField, QuantityField, RateField, new_link_token, new_public_id

OPTION_KEYS = ("A", "B", "C")


class Quote(models.Model):
    """A customer, a donor, a kind of job. The figures live in its versions."""

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    number = models.CharField(max_length=20, unique=True)
    link_token = models.CharField(max_length=40, unique=True, default=new_link_token, editable=False)
    customer = models.ForeignKey(
        "shop.Customer", null=True, blank=True, on_delete=models.PROTECT, related_name="quotes"
    )
    donor = models.ForeignKey("shop.Donor", null=True, blank=True, on_delete=models.PROTECT, related_name="quotes")
    job = models.CharField(max_length=15, choices=Job, default=Job.CONVERSION)
    # The key of the form that opened it, so that a second press opens the same quote.
    start_key = models.CharField(max_length=60, null=True, unique=True, editable=False)  # noqa: DJ001
    created_at = models.DateTimeField(auto_now_add=True)
    created_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+", editable=False
    )

    class Meta:
        ordering = ["-created_at", "-pk"]

    def __str__(self) -> str:
        return self.number


class VersionState(models.TextChoices):
    DRAFT = "draft", "Draft"
    OFFERED = "offered", "Offered"
    ACCEPTED = "accepted", "Accepted"
    DECLINED = "declined", "Declined"
    LAPSED = "lapsed", "Lapsed"
    REPLACED = "replaced", "Replaced"


class QuoteVersion(models.Model):
    """One version. A draft is edited in place; offering freezes `request` and `result`, and a trigger keeps them so.

    Wishes: distances in km, speeds in km/h, whatever the shop's units.
    """

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    quote = models.ForeignKey(Quote, on_delete=models.CASCADE, related_name="versions")
    number = models.PositiveSmallIntegerField(default=1)
    state = models.CharField(max_length=10, choices=VersionState, default=VersionState.DRAFT)
    tax_place = models.ForeignKey("shop.TaxPlace", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    town_km = models.FloatField(null=True, blank=True, validators=[MinValueValidator(0)])
    back_road_km = models.FloatField(null=True, blank=True, validators=[MinValueValidator(0)])
    highway_km = models.FloatField(null=True, blank=True, validators=[MinValueValidator(0)])
    held_kmh = models.FloatField(null=True, blank=True, validators=[MinValueValidator(0)])
    top_kmh = models.FloatField(null=True, blank=True, validators=[MinValueValidator(0)])
    hill_percent = models.FloatField(null=True, blank=True, validators=[MinValueValidator(0)])
    budget = MoneyField(null=True, blank=True)
    circuit_v = models.FloatField(null=True, blank=True, validators=[MinValueValidator(0)])
    circuit_a = models.FloatField(null=True, blank=True, validators=[MinValueValidator(0)])
    overnight_h = models.FloatField(null=True, blank=True, validators=[MinValueValidator(0)])
    two_up = models.BooleanField(default=False)
    by_carrier = models.BooleanField("leaves by carrier", default=False)
    note = models.TextField("note to the customer", blank=True)
    saved_at = models.DateTimeField(auto_now=True)
    offered_at = models.DateTimeField(null=True, blank=True)
    valid_until = models.DateField(null=True, blank=True)
    request = models.JSONField(null=True, blank=True, encoder=DjangoJSONEncoder)
    result = models.JSONField(null=True, blank=True, encoder=DjangoJSONEncoder)
    accepted_option = models.CharField(max_length=1, blank=True)

    class Meta:
        ordering = ["quote", "-number"]
        indexes = [
            # Today's "about to lapse" and the nightly lapse both look for offered versions by date.
            models.Index(fields=["state", "valid_until"], name="version_by_state_and_validity"),
        ]
        constraints = [
            models.UniqueConstraint(fields=["quote", "number"], name="version_once_per_number"),
            models.UniqueConstraint(fields=["quote"], condition=Q(state="draft"), name="version_one_draft_per_quote"),
            models.UniqueConstraint(
                fields=["quote"], condition=Q(state="offered"), name="version_one_offered_per_quote"
            ),
            models.CheckConstraint(
                condition=Q(state="draft", offered_at__isnull=True, request__isnull=True, result__isnull=True)
                | (
                    ~Q(state="draft")
                    & Q(offered_at__isnull=False, valid_until__isnull=False)
                    & Q(request__isnull=False, result__isnull=False)
                ),
                name="version_frozen_when_offered",
            ),
            models.CheckConstraint(
                condition=(Q(state="accepted") & ~Q(accepted_option=""))
                | (~Q(state="accepted") & Q(accepted_option="")),
                name="version_accepted_names_option",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quote.number} version {self.number}"

    @property
    def is_draft(self) -> bool:
        return self.state == VersionState.DRAFT


class QuoteOption(models.Model):
    """One way to build it; up to three per version."""

    version = models.ForeignKey(QuoteVersion, on_delete=models.CASCADE, related_name="options")
    key = models.CharField(max_length=1, choices=[(key, key) for key in OPTION_KEYS])
    label = models.CharField(max_length=80, blank=True)
    series = models.PositiveSmallIntegerField(null=True, blank=True, validators=[MinValueValidator(1)])
    parallel = models.PositiveSmallIntegerField(null=True, blank=True, validators=[MinValueValidator(1)])
    link_mohm = models.FloatField("links and bus bars, mohm", default=1.0, validators=[MinValueValidator(0)])
    bay_names = models.JSONField(default=list, blank=True)
    contingency_rate = RateField(default=Decimal(0))
    contingency_in_labor = models.BooleanField(
        "contingency within labor", default=False, help_text="Spread over the hours: no line of its own is printed."
    )
    discount_rate = RateField(default=Decimal(0))
    discount_amount = MoneyField(default=Decimal(0))
    discount_reason = models.CharField(max_length=160, blank=True)
    allowance_amount = MoneyField(default=Decimal(0))
    allowance_label = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["version", "key"]
        constraints = [
            models.UniqueConstraint(fields=["version", "key"], name="option_once_per_key"),
            models.CheckConstraint(condition=Q(key__in=OPTION_KEYS), name="option_key_is_a_b_or_c"),
            models.CheckConstraint(
                condition=Q(contingency_rate__gte=0, contingency_rate__lte=Decimal(1)),
                name="option_contingency_is_a_share",
            ),
            models.CheckConstraint(
                condition=Q(discount_rate__gte=0, discount_rate__lte=Decimal(1), discount_amount__gte=0),
                name="option_discount_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(discount_rate=0, discount_amount=0) | ~Q(discount_reason=""),
                name="option_discount_has_reason",
            ),
            models.CheckConstraint(condition=Q(allowance_amount__gte=0), name="option_allowance_not_negative"),
        ]

    def __str__(self) -> str:
        return f"{self.version} option {self.key}"


class OptionPart(models.Model):
    """A component on an option. Cells count series × parallel; their quantity is set when the pack plan is."""

    option = models.ForeignKey(QuoteOption, on_delete=models.CASCADE, related_name="parts")
    component = models.ForeignKey("shop.Component", on_delete=models.PROTECT, related_name="+")
    quantity = QuantityField(default=Decimal(1))
    conductors = models.PositiveSmallIntegerField(default=1, validators=[MinValueValidator(1)])
    unit_price = MoneyField(null=True, blank=True, help_text="Set by hand; empty takes the catalogue's price.")

    class Meta:
        ordering = ["option", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["option", "component"], name="part_once_per_option"),
            models.CheckConstraint(condition=Q(quantity__gt=0), name="part_quantity_above_zero"),
            models.CheckConstraint(
                condition=Q(unit_price__isnull=True) | Q(unit_price__gte=0), name="part_price_not_negative"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.option} {self.component.code}"


class OptionStep(models.Model):
    """A step of work on an option, copied from the routing so that later routing changes leave the quote alone."""

    option = models.ForeignKey(QuoteOption, on_delete=models.CASCADE, related_name="steps")
    position = models.PositiveSmallIntegerField()
    code = models.SlugField(max_length=30)
    label = models.CharField(max_length=80)
    skill = models.ForeignKey("shop.Skill", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    bench_type = models.ForeignKey("shop.BenchType", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    low_h = HoursField(default=Decimal(0))
    likely_h = HoursField(default=Decimal(0))
    high_h = HoursField(default=Decimal(0))
    hours = HoursField(null=True, blank=True, help_text="Set by hand; empty takes the estimate.")
    lead_days = models.PositiveSmallIntegerField(default=0)
    needs_kinds = models.JSONField(default=list, blank=True)
    rate = MoneyField(null=True, blank=True, help_text="An hour's price agreed before; empty takes the skill's.")
    learned_factor = RateField(default=Decimal(1), help_text="What finished builds made of the routing's estimate.")
    learned_builds = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["option", "position"]
        constraints = [
            models.UniqueConstraint(fields=["option", "code"], name="option_step_once_per_code"),
            models.CheckConstraint(
                condition=Q(low_h__gte=0, likely_h__gte=models.F("low_h"), high_h__gte=models.F("likely_h")),
                name="option_step_hours_rise",
            ),
            models.CheckConstraint(
                condition=Q(hours__isnull=True) | Q(hours__gte=0), name="option_step_hours_not_negative"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.option} {self.label}"


class OptionExtra(models.Model):
    """Outside work, consumables, freight or a fee."""

    class Kind(models.TextChoices):
        OUTSIDE = "outside", "Outside work"
        CONSUMABLES = "consumables", "Consumables"
        FREIGHT = "freight", "Freight"
        FEE = "fee", "Fee"
        OTHER = "other", "Other"

    option = models.ForeignKey(QuoteOption, on_delete=models.CASCADE, related_name="extras")
    kind = models.CharField(max_length=12, choices=Kind)
    label = models.CharField(max_length=120)
    amount = MoneyField()
    cost = MoneyField(null=True, blank=True)
    tax_class = models.CharField(max_length=20, choices=TaxClass, default=TaxClass.FEE)

    class Meta:
        ordering = ["option", "pk"]
        constraints = [models.CheckConstraint(condition=Q(amount__gte=0), name="extra_amount_not_negative")]

    def __str__(self) -> str:
        return self.label


class CheckDecision(models.Model):
    """A person's answer to a check finding: it may be sold so, and why.

    `findings` and `margin` keep what was decided on: when the figures get worse, it has to be decided again.
    """

    option = models.ForeignKey(QuoteOption, on_delete=models.CASCADE, related_name="decisions")
    rule = models.CharField(max_length=80)
    reason = models.CharField(max_length=300)
    findings = models.TextField(blank=True, help_text="What was seen, a finding a line.")
    margin = models.FloatField(null=True, blank=True, help_text="The worst margin that was accepted.")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(auto_now=True)

    class Meta:
        ordering = ["option", "rule"]
        constraints = [
            models.UniqueConstraint(fields=["option", "rule"], name="decision_once_per_rule"),
            models.CheckConstraint(condition=~Q(reason=""), name="decision_has_a_reason"),
        ]

    def __str__(self) -> str:
        return f"{self.rule}: {self.reason}"
