"""The shop itself: settings in one row, opening hours, closed days, the plan's lock, gapless numbers."""

from __future__ import annotations

from decimal import Decimal
from zoneinfo import available_timezones

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from shop.models.exact import HoursField, MoneyField, RateField

ONE = Decimal(1)


def real_zone(value: str) -> None:
    """A time zone this machine knows."""
    if value not in available_timezones():
        raise ValidationError(f"'{value}' is not a time zone. Use a name such as America/New_York.")


class Units(models.TextChoices):
    US = "us", "Miles, pounds, horsepower"
    METRIC = "metric", "Kilometers, kilograms, kilowatts"


class Paper(models.TextChoices):
    LETTER = "Letter", "US Letter"
    A4 = "A4", "A4"


class TaxRounding(models.TextChoices):
    INVOICE = "invoice", "On the document's total"
    RATE = "rate", "On each rate's total"
    LINE = "line", "On each line"


class TaxSourcing(models.TextChoices):
    """Where a sale of something that is sent away counts as made. What is picked up counts here: SSUTA section 310."""

    SHOP = "shop", "The shop's place"
    DELIVERY = "delivery", "The place it is delivered to"


class RefundStage(models.TextChoices):
    """From when on a cancelled build's deposit is no longer given back whole."""

    NEVER = "never", "Never: it is given back whole"
    PARTS = "parts", "Once parts are ordered or kept for it"
    WORK = "work", "Once work has begun"


class KeptBasis(models.TextChoices):
    SPENT = "spent", "Its parts and hours at the agreed price"
    SHARE = "share", "A share of what was paid"


class Shop(models.Model):
    """Shop settings: exactly one row."""

    name = models.CharField(max_length=120)
    address = models.TextField(help_text="As printed on documents.")
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    currency = models.CharField(max_length=3, default="USD", help_text="ISO 4217 code.")
    locale = models.CharField(max_length=12, default="en-US", help_text="How money and dates are written.")
    zone = models.CharField(max_length=60, default="America/New_York", validators=[real_zone])
    units = models.CharField(max_length=8, choices=Units, default=Units.US)
    paper = models.CharField(max_length=8, choices=Paper, default=Paper.LETTER)
    home_tax_place = models.ForeignKey(
        "shop.TaxPlace", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    home_country_sheet = models.ForeignKey(
        "shop.CountrySheet",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        help_text="Limits on conversions where most of your bikes are registered. Confirm with your authority.",
    )
    tax_sourcing = models.CharField(
        max_length=8,
        choices=TaxSourcing,
        default=TaxSourcing.SHOP,
        help_text="Which place taxes what leaves by carrier. What is picked up here is taxed here.",
    )
    tax_number = models.CharField(
        max_length=40, blank=True, help_text="As the authority gave it: VAT number, or the permit to collect sales tax."
    )
    tax_rounding = models.CharField(max_length=8, choices=TaxRounding, default=TaxRounding.INVOICE)
    valid_days = models.PositiveSmallIntegerField(default=30, validators=[MinValueValidator(1)])
    deposit_rate = RateField(default=Decimal("0.30"))
    deposit_minimum = MoneyField(default=Decimal(0))
    deposit_fixed = MoneyField(null=True, blank=True, help_text="When set, used instead of the percentage.")
    parts_deposit_rate = RateField(
        default=Decimal(0), help_text="Share of the price paid in all before parts are ordered. 0: no such stage."
    )
    keep_from = models.CharField(max_length=8, choices=RefundStage, default=RefundStage.NEVER)
    kept_basis = models.CharField(max_length=8, choices=KeptBasis, default=KeptBasis.SPENT)
    kept_rate = RateField(default=Decimal(0), help_text="Of what was paid; used when a share is kept.")
    change_deposit_rate = RateField(
        default=Decimal(0), help_text="Share of what a change order adds to the price, asked as a further deposit."
    )
    replanning_h = HoursField(default=Decimal(0), help_text="Hours charged for planning a running build anew. 0: none.")
    replanning_rate = MoneyField(default=Decimal(0), help_text="What such an hour is sold for.")
    learn_hours = models.BooleanField(
        default=True, help_text="Estimates of new quotes follow what finished builds took."
    )
    deposit_terms = models.TextField(blank=True, help_text="Printed on quotes and receipts, in plain words.")
    hours_percentile = models.PositiveSmallIntegerField(
        default=60, validators=[MinValueValidator(5), MaxValueValidator(95)]
    )
    contingency_rate = RateField(default=Decimal(0))
    margin_floor = RateField(default=Decimal("0.20"))
    discount_limit = RateField(default=Decimal("0.10"), help_text="The most the counter may give without the owner.")
    stale_after_days = models.PositiveSmallIntegerField(default=60)
    duty_on_freight = models.BooleanField(
        default=False, help_text="Whether customs takes its share of the freight too. Ask your customs office."
    )
    handling_days = models.PositiveSmallIntegerField(default=1, help_text="From the door to the bench.")
    usable_share = models.FloatField(default=0.92, help_text="Share of the pack's energy a rider uses.")
    rider_kg = models.FloatField(default=80.0)
    passenger_kg = models.FloatField(default=75.0)
    luggage_kg = models.FloatField(default=10.0)
    auxiliary_w = models.FloatField(default=60.0, help_text="Lamps and electronics while riding.")
    warm_c = models.FloatField(default=20.0)
    cold_c = models.FloatField(default=0.0)
    storage_free_days = models.PositiveSmallIntegerField(default=5)
    storage_fee = MoneyField(default=Decimal(0), help_text="Per day after the free days. 0 for none.")

    class Meta:
        verbose_name_plural = "shop"
        constraints = [
            # One shop per installation: settings are read by primary key 1.
            models.CheckConstraint(condition=Q(pk=1), name="shop_is_one_row"),
            models.CheckConstraint(
                condition=Q(deposit_rate__gte=0) & Q(deposit_rate__lte=ONE), name="shop_deposit_rate_is_a_share"
            ),
            models.CheckConstraint(
                condition=Q(parts_deposit_rate__gte=0) & Q(parts_deposit_rate__lte=ONE),
                name="shop_parts_deposit_rate_is_a_share",
            ),
            models.CheckConstraint(
                condition=Q(kept_rate__gte=0) & Q(kept_rate__lte=ONE), name="shop_kept_rate_is_a_share"
            ),
            models.CheckConstraint(
                condition=Q(change_deposit_rate__gte=0) & Q(change_deposit_rate__lte=ONE),
                name="shop_change_deposit_rate_is_a_share",
            ),
            models.CheckConstraint(
                condition=Q(replanning_h__gte=0, replanning_rate__gte=0), name="shop_replanning_not_negative"
            ),
            models.CheckConstraint(condition=Q(deposit_minimum__gte=0), name="shop_deposit_minimum_not_negative"),
            models.CheckConstraint(
                condition=Q(margin_floor__gte=0) & Q(margin_floor__lt=ONE), name="shop_margin_floor_under_one"
            ),
        ]

    def __str__(self) -> str:
        return self.name


class OpeningHours(models.Model):
    """Open on a weekday between two local times. Several rows a day for a lunch break."""

    class Weekday(models.IntegerChoices):
        MONDAY = 0, "Monday"
        TUESDAY = 1, "Tuesday"
        WEDNESDAY = 2, "Wednesday"
        THURSDAY = 3, "Thursday"
        FRIDAY = 4, "Friday"
        SATURDAY = 5, "Saturday"
        SUNDAY = 6, "Sunday"

    weekday = models.PositiveSmallIntegerField(choices=Weekday)
    start = models.TimeField()
    end = models.TimeField()

    class Meta:
        verbose_name_plural = "opening hours"
        ordering = ["weekday", "start"]
        constraints = [
            models.CheckConstraint(condition=Q(end__gt=models.F("start")), name="opening_ends_after_start"),
            models.UniqueConstraint(fields=["weekday", "start"], name="opening_once_per_start"),
        ]

    def __str__(self) -> str:
        return f"{self.get_weekday_display()} {self.start:%H:%M} to {self.end:%H:%M}"


class ClosedDays(models.Model):
    """Days the shop is shut, both ends included."""

    first = models.DateField()
    last = models.DateField()
    reason = models.CharField(max_length=120)

    class Meta:
        verbose_name_plural = "closed days"
        ordering = ["first"]
        constraints = [models.CheckConstraint(condition=Q(last__gte=models.F("first")), name="closed_days_in_order")]

    def __str__(self) -> str:
        return f"{self.first} to {self.last}: {self.reason}"


class LineLock(models.Model):
    """One row that accept, move, cancel, receive and hand-over lock, so places and reservations never race.

    `revision` counts changes to the plan: results say which revision they were worked out from.
    """

    revision = models.PositiveBigIntegerField(default=0)

    class Meta:
        constraints = [models.CheckConstraint(condition=Q(pk=1), name="line_lock_is_one_row")]

    def __str__(self) -> str:
        return f"revision {self.revision}"


class Sequence(models.Model):
    """A gapless run of numbers: the next is taken under a row lock in the transaction that uses it."""

    name = models.CharField(max_length=40, primary_key=True)
    prefix = models.CharField(max_length=8, blank=True)
    next_number = models.PositiveBigIntegerField(default=1)

    def __str__(self) -> str:
        return f"{self.name}: {self.prefix}{self.next_number}"
