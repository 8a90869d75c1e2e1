"""Stock as an append-only record of moves. On hand and reserved are sums."""

from __future__ import annotations

from decimal import Decimal

from django.conf import settings
from django.db import models
from django.db.models import Q

from shop.models.exact import QuantityField


class MoveKind(models.TextChoices):
    RECEIVED = "received", "Received"
    COUNTED = "counted", "Counted"
    RESERVED = "reserved", "Reserved"
    RELEASED = "released", "Released"
    ISSUED = "issued", "Issued to build"
    RETURNED = "returned", "Returned"
    SCRAPPED = "scrapped", "Scrapped"
    SENT_BACK = "sent_back", "Back to supplier"


class StockMove(models.Model):
    """One move: how on hand and reserved change. A trigger refuses edits and deletes."""

    component = models.ForeignKey("shop.Component", on_delete=models.PROTECT, related_name="moves")
    kind = models.CharField(max_length=10, choices=MoveKind)
    on_hand = QuantityField(default=Decimal(0), help_text="Change of the quantity on the shelf.")
    reserved = QuantityField(default=Decimal(0), help_text="Change of the quantity kept for builds.")
    need = models.ForeignKey("shop.PartNeed", null=True, blank=True, on_delete=models.PROTECT, related_name="moves")
    order_line = models.ForeignKey(
        "shop.PurchaseOrderLine", null=True, blank=True, on_delete=models.PROTECT, related_name="moves"
    )
    batch = models.CharField(max_length=60, blank=True, help_text="The maker's batch, for cells.")
    reason = models.CharField(max_length=200, blank=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)
    key = models.CharField(max_length=80, unique=True, null=True, blank=True, help_text="Makes a repeat harmless.")

    class Meta:
        ordering = ["-at", "-pk"]
        # Balances are sums, each read off an index that holds its figures.
        indexes = [
            models.Index(fields=["component", "on_hand", "reserved"], name="move_sums"),
            models.Index(fields=["need", "kind", "on_hand", "reserved"], name="move_by_need"),
            models.Index(fields=["component", "kind"], name="move_by_component"),
        ]
        constraints = [
            models.CheckConstraint(condition=~Q(on_hand=0, reserved=0), name="move_moves_something"),
            models.CheckConstraint(
                condition=Q(kind__in=["received", "returned"], on_hand__gt=0, reserved=0)
                | Q(kind="counted", reserved=0)
                | Q(kind__in=["scrapped", "sent_back"], on_hand__lt=0, reserved=0)
                | Q(kind="reserved", on_hand=0, reserved__gt=0, need__isnull=False)
                | Q(kind="released", on_hand=0, reserved__lt=0, need__isnull=False)
                | Q(kind="issued", on_hand__lt=0, reserved__lte=0, need__isnull=False),
                name="move_signs_fit_kind",
            ),
            models.CheckConstraint(
                condition=~Q(kind__in=["counted", "scrapped", "sent_back"]) | ~Q(reason=""),
                name="move_difference_has_reason",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.component.code} {self.kind} {self.on_hand}"
