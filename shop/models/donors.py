"""Donor families and the donor bikes themselves. An empty figure means not known; the engine then says so."""

from __future__ import annotations

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from shop.models.exact import new_public_id


class FrameKind(models.TextChoices):
    CRADLE = "cradle", "Cradle"
    STRESSED = "stressed", "Engine carries load"


class Side(models.TextChoices):
    LEFT = "left", "Left"
    RIGHT = "right", "Right"


class BrakeKind(models.TextChoices):
    DISC = "disc", "Disc"
    DRUM = "drum", "Drum"


class Market(models.TextChoices):
    NORTH_AMERICA = "north america", "North America"
    OTHER = "other", "Elsewhere"


def figure(label: str, **kwargs: object) -> models.FloatField[float | None, float | None]:
    """A physical figure that may be unknown, and can't be negative."""
    return models.FloatField(label, null=True, blank=True, validators=[MinValueValidator(0)], **kwargs)  # type: ignore[arg-type]


class DonorFamily(models.Model):
    """A frame family: what its bikes have in common."""

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    code = models.SlugField(max_length=40, unique=True, help_text="Adapters name the families they fit by this code.")
    name = models.CharField(max_length=120)
    first_year = models.PositiveSmallIntegerField(null=True, blank=True)
    last_year = models.PositiveSmallIntegerField(null=True, blank=True)
    frame_kind = models.CharField(max_length=10, choices=FrameKind, blank=True)
    kerb_kg = figure("kerb mass, kg")
    removed_kg = figure("mass that leaves, kg", help_text="Engine, exhaust, tank, fuel and the rest.")
    removed_x_m = figure("its center behind the front axle, m")
    wheelbase_m = figure("wheelbase, m")
    cg_height_m = figure("height of the center of mass with rider, m")
    front_share = figure("front share of kerb mass", help_text="0.48 is 48 % on the front axle.")
    gvwr_kg = figure("gross weight rating, kg", help_text="From the plate.")
    gawr_front_kg = figure("front axle rating, kg")
    gawr_rear_kg = figure("rear axle rating, kg")
    cda_m2 = figure("drag area with rider, m2")
    crr = figure("rolling resistance coefficient")
    engine_kw = figure("engine power, kW")
    system_v = figure("electrical system, V")
    front_tire = models.CharField(max_length=30, blank=True, help_text="As on the side: 100/90-18.")
    rear_tire = models.CharField(max_length=30, blank=True, help_text="As on the side: 130/70-17.")
    rear_rim_inch = figure("rear rim, inch")
    dropout_mm = figure("rear dropout width, mm")
    axle_mm = figure("rear axle diameter, mm")
    brake_side = models.CharField(max_length=5, choices=Side, blank=True)
    front_brake = models.CharField(max_length=5, choices=BrakeKind, blank=True)
    rear_brake = models.CharField(max_length=5, choices=BrakeKind, blank=True)
    brake_rated_kg = figure("brakes rated for, kg")
    chain_pitch = models.CharField(max_length=8, blank=True)

    class Meta:
        verbose_name_plural = "donor families"
        ordering = ["name"]
        constraints = [
            models.CheckConstraint(
                condition=Q(front_share__isnull=True) | Q(front_share__gt=0, front_share__lt=1),
                name="family_front_share_is_a_share",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Bay(models.Model):
    """A box-shaped space in a family's frame."""

    family = models.ForeignKey(DonorFamily, on_delete=models.CASCADE, related_name="bays")
    name = models.CharField(max_length=60)
    length_mm = models.FloatField("length, mm", validators=[MinValueValidator(1)])
    width_mm = models.FloatField("width, mm", validators=[MinValueValidator(1)])
    height_mm = models.FloatField("height, mm", validators=[MinValueValidator(1)])
    x_m = models.FloatField("center behind the front axle, m", null=True, blank=True)

    class Meta:
        ordering = ["family", "pk"]
        constraints = [models.UniqueConstraint(fields=["family", "name"], name="bay_named_once_per_family")]

    def __str__(self) -> str:
        return f"{self.family}: {self.name}"


class Donor(models.Model):
    """One donor bike: a customer's own, or one in the shop's yard (no owner)."""

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    family = models.ForeignKey(DonorFamily, on_delete=models.PROTECT, related_name="donors")
    owner = models.ForeignKey(
        "shop.Customer",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="donors",
        help_text="Empty: yard.",
    )
    year = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1900), MaxValueValidator(2100)]
    )
    vin = models.CharField("VIN or frame number", max_length=30, blank=True)
    market = models.CharField(max_length=15, choices=Market, default=Market.NORTH_AMERICA)
    registered_in = models.ForeignKey(
        "shop.CountrySheet",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        help_text="Empty: where the shop is.",
    )
    color = models.CharField(max_length=40, blank=True)
    kerb_kg = figure("kerb mass as weighed, kg")
    gvwr_kg = figure("gross weight rating on its plate, kg")
    odometer_km = figure("odometer, km")
    condition = models.TextField(blank=True)
    title_seen = models.BooleanField(null=True, blank=True)
    stolen_check_done = models.BooleanField(null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["family__name", "year", "pk"]
        constraints = [
            # A VIN is on one bike; frame numbers before 1981 are only unique within a family.
            models.UniqueConstraint(fields=["family", "vin"], condition=~Q(vin=""), name="donor_vin_once_per_family"),
        ]

    def __str__(self) -> str:
        year = f", {self.year}" if self.year else ""
        return f"{self.family.name}{year}"
