"""Customers, and the certificates that exempt them from tax."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from shop.models.exact import new_public_id


class ExemptKind(models.TextChoices):
    """Why a sale to someone is not taxed. Which kinds there are, and for what, the authority decides."""

    RESALE = "resale", "Resale"
    GOVERNMENT = "government", "Government"
    CHARITY = "charity", "Charity or church"
    FARM = "farm", "Farming"
    DIRECT_PAY = "direct_pay", "Pays the tax itself"
    ABROAD = "abroad", "Leaves the country"
    OTHER = "other", "Other"


class Customer(models.Model):
    """Someone the shop quotes for. The address decides nothing about tax; the quote's tax place does."""

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    name = models.CharField(max_length=120)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    address = models.TextField(blank=True)
    notes = models.TextField(blank=True, help_text="For the shop only.")
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["name", "pk"]
        indexes = [models.Index(fields=["name"], name="customer_by_name")]  # looked up as it is typed
        constraints = [models.CheckConstraint(condition=~Q(name=""), name="customer_has_a_name")]

    def __str__(self) -> str:
        return self.name


class ExemptCertificate(models.Model):
    """A certificate that exempts a customer from tax, from `begin` to `until`, both included; empty days are open.

    One of an `authority` holds in places where it taxes, one of nobody's everywhere.
    """

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    customer = models.ForeignKey(Customer, on_delete=models.CASCADE, related_name="certificates")
    number = models.CharField(max_length=60)
    kind = models.CharField(max_length=12, choices=ExemptKind, blank=True)
    authority = models.ForeignKey(
        "shop.TaxAuthority", null=True, blank=True, on_delete=models.PROTECT, related_name="certificates"
    )
    begin = models.DateField(null=True, blank=True)
    until = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["customer", "pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(number=""), name="certificate_has_a_number"),
            models.CheckConstraint(
                condition=Q(begin__isnull=True) | Q(until__isnull=True) | Q(until__gte=F("begin")),
                name="certificate_in_order",
            ),
        ]

    def __str__(self) -> str:
        return self.number
