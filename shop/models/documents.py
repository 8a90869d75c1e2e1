"""What a document says that its version or ledger entry does not hold, kept on the day it is issued."""

from __future__ import annotations

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.db.models import Q


class DocumentFacts(models.Model):
    """Letterhead, addressee, terms and standing as they were: a document printed again years later says the same.

    Append-only. `facts` is the JSON form of QuoteFacts or ReceiptFacts (shop.selectors.document_facts).
    """

    version = models.OneToOneField(
        "shop.QuoteVersion", null=True, blank=True, on_delete=models.PROTECT, related_name="document_facts"
    )
    entry = models.OneToOneField(
        "shop.LedgerEntry", null=True, blank=True, on_delete=models.PROTECT, related_name="document_facts"
    )
    facts = models.JSONField(encoder=DjangoJSONEncoder)
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        verbose_name_plural = "document facts"
        ordering = ["at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(version__isnull=False, entry__isnull=True) | Q(version__isnull=True, entry__isnull=False),
                name="document_facts_of_one_thing",
            ),
        ]

    def __str__(self) -> str:
        return f"facts of {self.version or self.entry}"
