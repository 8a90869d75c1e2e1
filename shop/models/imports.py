"""A file that was looked over and may be applied."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from shop.models.exact import new_public_id


class ImportSubject(models.TextChoices):
    COMPONENTS = "components", "Components"
    TAX_RATES = "tax_rates", "Tax rates"
    TAX_ZIPS = "tax_zips", "ZIP codes"
    PRICES = "prices", "Price list"
    COUNTS = "counts", "Stock count"
    PURCHASES = "purchases", "Past purchases"


class ImportFile(models.Model):
    """The bytes of an uploaded table between looking it over and applying it; emptied once applied."""

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    subject = models.CharField(max_length=12, choices=ImportSubject, default=ImportSubject.COMPONENTS)
    filename = models.CharField(max_length=120)
    content = models.BinaryField()
    sha256 = models.CharField(max_length=64)
    created_at = models.DateTimeField(auto_now_add=True)
    applied_at = models.DateTimeField(null=True, blank=True)
    outcome = models.CharField(max_length=120, blank=True)
    choices = models.JSONField(default=dict, blank=True, help_text="What was chosen with the file.")

    class Meta:
        ordering = ["-created_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(applied_at__isnull=True, outcome="") | (Q(applied_at__isnull=False) & ~Q(outcome="")),
                name="import_file_applied_has_outcome",
            ),
        ]

    def __str__(self) -> str:
        return self.filename
