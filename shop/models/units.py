"""Units with a serial number of their own: where each one is."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Upper

from shop.models.exact import new_public_id

# Kinds of which every unit usually carries a number that the build's record names (a component may say otherwise);
# those bought by the batch. Common practice, no source: what a recall or a warranty claim asks for.
SERIAL_KINDS = frozenset({"motor", "controller", "module", "charger"})
BATCH_KINDS = frozenset({"cell"})


class UnitPlace(models.TextChoices):
    SHELF = "shelf", "On the shelf"
    BUILD = "build", "In a build"
    SUPPLIER = "supplier", "Back at the supplier"
    SCRAPPED = "scrapped", "Scrapped"
    MISSING = "missing", "Missing"


class StockUnit(models.Model):
    """One unit with its number. One row, so it is in one place; `need` says whose it is."""

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    component = models.ForeignKey("shop.Component", on_delete=models.PROTECT, related_name="units")
    serial = models.CharField("serial number", max_length=60)
    place = models.CharField(max_length=8, choices=UnitPlace, default=UnitPlace.SHELF)
    need = models.ForeignKey("shop.PartNeed", null=True, blank=True, on_delete=models.PROTECT, related_name="units")
    order_line = models.ForeignKey(
        "shop.PurchaseOrderLine", null=True, blank=True, on_delete=models.PROTECT, related_name="units"
    )
    entered_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["entered_at", "pk"]
        constraints = [
            # A number is one unit, and a unit is one row: nowhere twice. Scanners and people differ in capitals.
            models.UniqueConstraint(F("component"), Upper("serial"), name="unit_serial_once_per_component"),
            models.CheckConstraint(condition=~Q(serial=""), name="unit_has_a_serial"),
            models.CheckConstraint(
                condition=Q(place="shelf")
                | Q(place="build", need__isnull=False)
                | Q(place__in=["supplier", "scrapped", "missing"], need__isnull=True),
                name="unit_is_in_one_place",
            ),
        ]

    def __str__(self) -> str:
        return self.serial


class UnitMove(models.Model):
    """Which units a stock move moved. Append-only."""

    unit = models.ForeignKey(StockUnit, on_delete=models.PROTECT, related_name="moves")
    move = models.ForeignKey("shop.StockMove", on_delete=models.PROTECT, related_name="unit_moves")

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["unit", "move"], name="unit_move_once")]

    def __str__(self) -> str:
        return f"{self.unit}: {self.move.kind}"
