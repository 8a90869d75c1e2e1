"""Country sheets: what a place lets a conversion change, as the shop read it on a day. The authority decides."""

from __future__ import annotations

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from shop.models.exact import new_public_id


class PowerCounts(models.TextChoices):
    PEAK = "peak", "Peak power"
    CONTINUOUS = "continuous", "Continuous power"


def limit(label: str, most: float, help_text: str) -> models.FloatField[float | None, float | None]:
    """A limit that a place may not have: empty is no limit known."""
    bounds = [MinValueValidator(0.0), MaxValueValidator(most)]
    return models.FloatField(label, null=True, blank=True, validators=bounds, help_text=help_text)


class CountrySheet(models.Model):
    """Limits and papers of one place of registration. Empty limits are not known, and nothing is held against them."""

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    code = models.SlugField(max_length=40, unique=True)
    name = models.CharField(max_length=120, help_text="The place, as it is named on quotes.")
    as_of = models.DateField(
        "read on", help_text="The day it was last held against the authority's own text. Confirm with your authority."
    )
    source = models.CharField(max_length=200, blank=True, help_text="Where the text stands: law, page, letter.")
    mass_share = limit("kerb mass may move by", 1.0, "As a fraction of the donor's, up or down: 0.20 is ±20 %.")
    power_share = limit("power may be", 10.0, "As a fraction of the petrol engine's: 1 is not above it.")
    power_counts = models.CharField("power that counts", max_length=12, choices=PowerCounts, default=PowerCounts.PEAK)
    least_age_years = models.PositiveSmallIntegerField(
        "donor's least age, years", null=True, blank=True, help_text="Since its first registration."
    )
    front_share_points = limit("axle split may move by", 50.0, "In percentage points of the front axle's share.")
    papers = models.TextField(blank=True, help_text="What the authority wants to see, one paper a line.")

    class Meta:
        ordering = ["name"]
        constraints = [
            # A share above 1 would let the bike weigh nothing: a slip of 20 for 0.20.
            models.CheckConstraint(
                condition=Q(mass_share__isnull=True) | Q(mass_share__gte=0.0, mass_share__lte=1.0),
                name="country_mass_share_is_a_share",
            ),
            models.CheckConstraint(
                condition=Q(power_share__isnull=True) | Q(power_share__gte=0.0), name="country_power_not_negative"
            ),
            models.CheckConstraint(
                condition=Q(front_share_points__isnull=True) | Q(front_share_points__gte=0.0),
                name="country_axle_split_not_negative",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def paper_list(self) -> tuple[str, ...]:
        """The papers, blank lines left out."""
        return tuple(line.strip() for line in self.papers.splitlines() if line.strip())
