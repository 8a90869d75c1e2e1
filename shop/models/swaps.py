"""What may take another's place: a part for a part, a unit kept for one build handed to another."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from shop.models.exact import QuantityField


class Substitute(models.Model):
    """`stand_in` may be fitted where `component` was quoted, when the rules find nothing against it on that build."""

    component = models.ForeignKey("shop.Component", on_delete=models.CASCADE, related_name="substitutes")
    stand_in = models.ForeignKey("shop.Component", on_delete=models.CASCADE, related_name="stands_in_for")
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["component", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["component", "stand_in"], name="substitute_once_per_pair"),
            models.CheckConstraint(condition=~Q(component=F("stand_in")), name="substitute_is_another_part"),
        ]

    def __str__(self) -> str:
        return f"{self.stand_in.code} for {self.component.code}"


class Lending(models.Model):
    """Units kept for one build, handed to another. Append-only.

    `assured` is how many units of its need the borrower then had or had kept: they are its own from now on, whoever
    stands ahead of it.
    """

    lender = models.ForeignKey("shop.PartNeed", on_delete=models.PROTECT, related_name="lent")
    borrower = models.ForeignKey("shop.PartNeed", on_delete=models.PROTECT, related_name="borrowed")
    quantity = QuantityField()
    assured = QuantityField()
    reason = models.CharField(max_length=200)
    override = models.CharField(max_length=200, blank=True, help_text="Why, although a promise breaks by it.")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)
    key = models.CharField(max_length=80, unique=True, help_text="Makes a repeat harmless.")

    class Meta:
        ordering = ["at", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(quantity__gt=0), name="lending_quantity_above_zero"),
            models.CheckConstraint(condition=Q(assured__gte=F("quantity")), name="lending_assures_what_it_lends"),
            models.CheckConstraint(condition=~Q(reason=""), name="lending_has_reason"),
            models.CheckConstraint(condition=~Q(lender=F("borrower")), name="lending_to_another"),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} from {self.lender} to {self.borrower}"
