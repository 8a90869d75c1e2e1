"""Suppliers, components and what suppliers ask for them."""

from __future__ import annotations

from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q

from quoting.errors import SpecError
from quoting.parts import KINDS, part_from_spec
from shop.models.exact import MoneyField, QuantityField, RateField, new_public_id
from shop.models.units import BATCH_KINDS, SERIAL_KINDS, UnitPlace

KIND_CHOICES = [(kind.code, kind.label) for kind in KINDS.values()]


class TaxClass(models.TextChoices):
    PARTS = "parts", "Parts"
    FABRICATION = "fabrication_labor", "Fabrication labor"
    REPAIR = "repair_labor", "Repair labor"
    VEHICLE = "vehicle", "Vehicle"
    FREIGHT = "freight", "Freight"
    FEE = "fee", "Fee"


class Supplier(models.Model):
    """Who parts come from."""

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    code = models.SlugField(max_length=40, unique=True)
    name = models.CharField(max_length=120)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    address = models.TextField(blank=True)
    currency = models.CharField(max_length=3, default="USD")
    stale_after_days = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text="A price older than this is asked again. Empty: the shop's figure."
    )
    ships_dangerous = models.BooleanField("ships dangerous goods", default=False)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class SupplierClosure(models.Model):
    """Days a supplier ships nothing, both ends included."""

    supplier = models.ForeignKey(Supplier, on_delete=models.CASCADE, related_name="closures")
    first = models.DateField()
    last = models.DateField()

    class Meta:
        ordering = ["first"]
        constraints = [models.CheckConstraint(condition=Q(last__gte=F("first")), name="supplier_closure_in_order")]

    def __str__(self) -> str:
        return f"{self.supplier}: {self.first} to {self.last}"


class ExchangeRate(models.Model):
    """One unit of `currency` in the shop's currency, from a day on."""

    currency = models.CharField(max_length=3)
    day = models.DateField()
    rate = RateField()

    class Meta:
        ordering = ["currency", "-day"]
        constraints = [
            models.UniqueConstraint(fields=["currency", "day"], name="exchange_rate_once_a_day"),
            models.CheckConstraint(condition=Q(rate__gt=0), name="exchange_rate_above_zero"),
        ]

    def __str__(self) -> str:
        return f"1 {self.currency} = {self.rate} from {self.day}"


class Component(models.Model):
    """Something a quote can carry. `spec` is checked by its kind's dataclass in quoting.parts."""

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    code = models.CharField(max_length=40, unique=True)
    kind = models.CharField(max_length=20, choices=KIND_CHOICES)
    name = models.CharField(max_length=160)
    spec = models.JSONField(default=dict, blank=True)
    list_price = MoneyField(null=True, blank=True, help_text="Empty: landed cost and markup.")
    markup_rate = RateField(default=Decimal("0.35"), help_text="On landed cost, when there is no list price.")
    tax_class = models.CharField(max_length=20, choices=TaxClass, default=TaxClass.PARTS)
    x_m = models.FloatField("place behind the front axle, m", null=True, blank=True)
    shelf = models.CharField(max_length=40, blank=True)
    keep_on_shelf = QuantityField(default=Decimal(0), help_text="Order again when free stock falls below this.")
    discontinued = models.BooleanField(default=False)
    needs_serial = models.BooleanField(
        "needs a serial number", null=True, blank=True, help_text="Empty: as is usual for its kind."
    )
    notes = models.TextField(blank=True)

    class Meta:
        ordering = ["kind", "name"]
        indexes = [models.Index(fields=["kind", "name"], name="component_by_kind")]  # the counter lists by kind
        constraints = [
            models.CheckConstraint(
                condition=Q(list_price__isnull=True) | Q(list_price__gte=0), name="component_price_not_negative"
            ),
            models.CheckConstraint(condition=Q(markup_rate__gte=0), name="component_markup_not_negative"),
        ]

    def __str__(self) -> str:
        return f"{self.name} ({self.code})"

    @property
    def unit(self) -> str:
        return KINDS[self.kind].unit

    @property
    def numbered(self) -> bool:
        """Whether every unit carries a serial number."""
        return self.kind in SERIAL_KINDS if self.needs_serial is None else self.needs_serial

    @property
    def batched(self) -> bool:
        return self.kind in BATCH_KINDS

    def clean(self) -> None:
        """The spec fits its kind, and is kept as the kind's own types; numbers fit what is there. Raises
        ValidationError on `spec` and `needs_serial`.
        """
        if self.needs_serial is not None:
            self.clean_numbers()
        try:
            part = part_from_spec(self.kind, self.spec)
        except SpecError as error:
            raise ValidationError({"spec": [str(problem) for problem in error.problems]}) from error
        known = ((name, getattr(part, name)) for name in self.spec)
        self.spec = {
            name: list(value) if isinstance(value, tuple) else value for name, value in known if value is not None
        }

    def clean_numbers(self) -> None:
        """Numbers that are about are not given up; asks the tables. Raises ValidationError on `needs_serial`."""
        if self.needs_serial and (self.batched or self.unit != "piece"):
            raise ValidationError({"needs_serial": "What is kept by the batch or the meter has no number of its own."})
        if self.numbered or not self.pk:
            return
        if self.units.filter(Q(place=UnitPlace.SHELF) | Q(place=UnitPlace.BUILD, need__build__place__isnull=False)):
            raise ValidationError(
                {"needs_serial": "Units with numbers are on the shelf or in open builds. It stays until they are gone."}
            )


class Offer(models.Model):
    """A supplier's price and lead time for a component."""

    component = models.ForeignKey(Component, on_delete=models.CASCADE, related_name="offers")
    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="offers")
    supplier_code = models.CharField("supplier's code", max_length=60, blank=True)
    unit_cost = MoneyField(help_text="In the supplier's currency.")
    freight_share = MoneyField(default=Decimal(0), help_text="Per unit, in the shop's currency.")
    duty_rate = RateField(default=Decimal(0))
    priced_on = models.DateField()
    lead_low_days = models.PositiveSmallIntegerField(null=True, blank=True)
    lead_days = models.PositiveSmallIntegerField(null=True, blank=True, help_text="Likely, in calendar days.")
    lead_high_days = models.PositiveSmallIntegerField(null=True, blank=True)
    least_quantity = QuantityField(default=Decimal(1))
    pack_quantity = QuantityField(default=Decimal(1))
    preferred = models.BooleanField(default=True)

    class Meta:
        ordering = ["component", "-preferred", "unit_cost"]
        constraints = [
            models.UniqueConstraint(fields=["component", "supplier"], name="offer_once_per_supplier"),
            # One preferred offer decides cost and lead time.
            models.UniqueConstraint(
                fields=["component"], condition=Q(preferred=True), name="offer_one_preferred_per_component"
            ),
            models.CheckConstraint(condition=Q(unit_cost__gte=0), name="offer_cost_not_negative"),
            models.CheckConstraint(
                condition=Q(least_quantity__gt=0, pack_quantity__gt=0), name="offer_quantities_above_zero"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.component.code} from {self.supplier}"

    def clean(self) -> None:
        """Lead times run low, likely, high. Raises ValidationError on `lead_days`."""
        known = [days for days in (self.lead_low_days, self.lead_days, self.lead_high_days) if days is not None]
        if known != sorted(known):
            raise ValidationError({"lead_days": "Lead times must rise from low to likely to high."})


class OfferBreak(models.Model):
    """A lower unit cost from a quantity on."""

    offer = models.ForeignKey(Offer, on_delete=models.CASCADE, related_name="breaks")
    from_quantity = QuantityField()
    unit_cost = MoneyField(help_text="In the supplier's currency.")

    class Meta:
        ordering = ["offer", "from_quantity"]
        constraints = [
            models.UniqueConstraint(fields=["offer", "from_quantity"], name="offer_break_once_per_quantity"),
            models.CheckConstraint(condition=Q(from_quantity__gt=0), name="offer_break_quantity_above_zero"),
            models.CheckConstraint(condition=Q(unit_cost__gte=0), name="offer_break_cost_not_negative"),
        ]

    def __str__(self) -> str:
        return f"{self.offer}: {self.unit_cost} from {self.from_quantity}"


class SupplierColumns(models.Model):
    """How a supplier heads the columns of its price list: our names to theirs, remembered for the next one."""

    supplier = models.OneToOneField(Supplier, on_delete=models.CASCADE, related_name="price_list_columns")
    headings = models.JSONField(default=dict)

    class Meta:
        verbose_name_plural = "supplier columns"

    def __str__(self) -> str:
        return f"price list of {self.supplier}"
