"""Customers."""

from __future__ import annotations

from django.db import models

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
    exempt_certificate = models.CharField("tax exemption certificate", max_length=60, blank=True)
    exempt_kind = models.CharField("kind of exemption", max_length=12, choices=ExemptKind, blank=True)
    exempt_authority = models.ForeignKey(
        "shop.TaxAuthority",
        verbose_name="exemption holds with",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        help_text="Whose certificate it is: it holds in places where this authority taxes. Empty: everywhere.",
    )
    exempt_until = models.DateField("exemption valid until", null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["name", "pk"]
        indexes = [models.Index(fields=["name"], name="customer_by_name")]  # looked up as it is typed
        constraints = [models.CheckConstraint(condition=~models.Q(name=""), name="customer_has_a_name")]

    def __str__(self) -> str:
        return self.name
