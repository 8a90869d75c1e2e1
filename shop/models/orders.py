"""Purchase orders: what is due when."""

from __future__ import annotations

from decimal import Decimal

from django.conf import settings
from django.db import models
from django.db.models import Q

from shop.models.exact import MoneyField, QuantityField, new_public_id


class OrderState(models.TextChoices):
    DRAFT = "draft", "Draft"
    SENT = "sent", "Sent"
    RECEIVED = "received", "Received"
    CANCELLED = "cancelled", "Cancelled"


class PurchaseOrder(models.Model):
    """An order to one supplier."""

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    number = models.CharField(max_length=20, unique=True)
    supplier = models.ForeignKey("shop.Supplier", on_delete=models.PROTECT, related_name="orders")
    state = models.CharField(max_length=10, choices=OrderState, default=OrderState.DRAFT)
    ordered_on = models.DateField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    key = models.CharField(
        max_length=80, unique=True, null=True, blank=True, editable=False, help_text="Makes a repeat harmless."
    )

    class Meta:
        ordering = ["-created_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(state__in=["draft", "cancelled"]) | Q(ordered_on__isnull=False), name="order_sent_has_a_day"
            ),
        ]

    def __str__(self) -> str:
        return self.number


class PurchaseOrderLine(models.Model):
    """Units of a component on an order. What has come is the sum of its received moves."""

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    order = models.ForeignKey(PurchaseOrder, on_delete=models.CASCADE, related_name="lines")
    component = models.ForeignKey("shop.Component", on_delete=models.PROTECT, related_name="order_lines")
    quantity = QuantityField()
    unit_cost = MoneyField(help_text="In the supplier's currency.")
    invoiced_cost = MoneyField(
        null=True, blank=True, help_text="What the supplier charged, when it is not what was ordered."
    )
    cancelled = QuantityField(default=Decimal(0), help_text="Units that will not come.")
    expected_on = models.DateField(null=True, blank=True, help_text="Empty: the supplier has given no day.")
    acknowledged_on = models.DateField(null=True, blank=True, help_text="When the supplier confirmed the line.")

    class Meta:
        ordering = ["order", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["order", "component"], name="order_line_once_per_component"),
            models.CheckConstraint(condition=Q(quantity__gt=0), name="order_line_quantity_above_zero"),
            models.CheckConstraint(condition=Q(unit_cost__gte=0), name="order_line_cost_not_negative"),
            models.CheckConstraint(
                condition=Q(invoiced_cost__isnull=True) | Q(invoiced_cost__gte=0), name="order_line_charge_not_negative"
            ),
            models.CheckConstraint(
                condition=Q(cancelled__gte=0, cancelled__lte=models.F("quantity")), name="order_line_cancels_its_own"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.order}: {self.quantity} {self.component.code}"

    @property
    def wanted(self) -> Decimal:
        """Units that are to come in all: what was ordered less what was cancelled."""
        return self.quantity - self.cancelled


class ExpectedDateChange(models.Model):
    """The history of a line's expected day. Append-only."""

    line = models.ForeignKey(PurchaseOrderLine, on_delete=models.PROTECT, related_name="date_changes")
    old = models.DateField(null=True, blank=True)
    new = models.DateField(null=True, blank=True)
    reason = models.CharField(max_length=200)
    entry = models.CharField(max_length=20, blank=True, help_text="The same for lines changed in one act.")
    undoes = models.OneToOneField(
        "self",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="undone_by",
        help_text="Taken back by this.",
    )
    person = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["line", "at", "pk"]
        constraints = [models.CheckConstraint(condition=~Q(reason=""), name="date_change_has_reason")]

    def __str__(self) -> str:
        return f"{self.line}: {self.old} to {self.new}"


class PastPurchase(models.Model):
    """A delivery of an order from before the shop kept its orders here: for lead times, never for stock."""

    supplier = models.ForeignKey("shop.Supplier", on_delete=models.PROTECT, related_name="past_purchases")
    component = models.ForeignKey("shop.Component", on_delete=models.PROTECT, related_name="past_purchases")
    ordered_on = models.DateField()
    received_on = models.DateField()
    reference = models.CharField(max_length=60, blank=True, help_text="Tells two orders of one day apart.")
    quantity = QuantityField()
    unit_cost = MoneyField(null=True, blank=True, help_text="In the row's currency. Empty: not known.")
    currency = models.CharField(max_length=3)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-ordered_on", "-received_on", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["supplier", "component", "ordered_on", "received_on", "reference"], name="past_purchase_once"
            ),
            models.CheckConstraint(
                condition=Q(received_on__gte=models.F("ordered_on")), name="past_purchase_days_in_order"
            ),
            models.CheckConstraint(condition=Q(quantity__gt=0), name="past_purchase_quantity_above_zero"),
            models.CheckConstraint(
                condition=Q(unit_cost__isnull=True) | Q(unit_cost__gte=0), name="past_purchase_cost_not_negative"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} {self.component.code} from {self.supplier}, {self.ordered_on}"
