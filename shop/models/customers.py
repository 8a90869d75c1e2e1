"""Customers."""

from __future__ import annotations

from django.db import models

from shop.models.exact import new_public_id


class Customer(models.Model):
    """Someone the shop quotes for. The address decides nothing about tax; the quote's tax place does."""

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    name = models.CharField(max_length=120)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    address = models.TextField(blank=True)
    notes = models.TextField(blank=True, help_text="For the shop only.")
    exempt_certificate = models.CharField("tax exemption certificate", max_length=60, blank=True)
    exempt_until = models.DateField("exemption valid until", null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["name", "pk"]
        indexes = [models.Index(fields=["name"], name="customer_by_name")]  # looked up as it is typed
        constraints = [models.CheckConstraint(condition=~models.Q(name=""), name="customer_has_a_name")]

    def __str__(self) -> str:
        return self.name
