"""What a document says that its version or ledger entry does not hold, kept on the day it is issued."""

from __future__ import annotations

from django.conf import settings
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.db.models import Q

from shop.models.exact import new_public_id


class DocumentFacts(models.Model):
    """Letterhead, addressee, terms and standing as they were: a document printed again years later says the same.

    Append-only. `facts` is the JSON form of what its kind keeps: QuoteFacts, ReceiptFacts (selectors.document_facts),
    InvoiceFacts, CreditFacts, RefundFacts (selectors.money_facts).
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


class PaperKind(models.TextChoices):
    QUOTE = "quote", "Quote"
    RECEIPT = "receipt", "Receipt"
    VOID = "void", "Void receipt"
    INVOICE = "invoice", "Invoice"
    CREDIT_NOTE = "credit_note", "Credit note"
    REFUND = "refund", "Refund"
    STATEMENT = "statement", "Statement"
    CHANGE = "change", "Change order"
    AGREED = "agreed", "Change order, agreed"


OF_A_VERSION = ("quote", "change", "agreed")


class PaperFile(models.Model):
    """The bytes of a PDF under the hash of what is in it. Append-only: what was served once is served for ever."""

    sha256 = models.CharField(max_length=64, primary_key=True)
    data = models.BinaryField()
    at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return self.sha256[:12]


class IssuedPaper(models.Model):
    """A document that was made: of a version, of an entry, or a statement of a customer or build at a day."""

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    kind = models.CharField(max_length=12, choices=PaperKind)
    version = models.ForeignKey(
        "shop.QuoteVersion", null=True, blank=True, on_delete=models.PROTECT, related_name="papers"
    )
    entry = models.ForeignKey(
        "shop.LedgerEntry", null=True, blank=True, on_delete=models.PROTECT, related_name="papers"
    )
    customer = models.ForeignKey(
        "shop.Customer", null=True, blank=True, on_delete=models.PROTECT, related_name="papers"
    )
    build = models.ForeignKey("shop.Build", null=True, blank=True, on_delete=models.PROTECT, related_name="papers")
    day = models.DateField(null=True, blank=True, help_text="A statement's day.")
    file = models.ForeignKey(PaperFile, on_delete=models.PROTECT, related_name="papers")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(kind__in=OF_A_VERSION, version__isnull=False, entry__isnull=True, customer__isnull=True)
                | Q(
                    kind="statement",
                    version__isnull=True,
                    entry__isnull=True,
                    customer__isnull=False,
                    day__isnull=False,
                )
                | (
                    ~Q(kind__in=[*OF_A_VERSION, "statement"])
                    & Q(version__isnull=True, entry__isnull=False, customer__isnull=True)
                ),
                name="paper_is_of_its_thing",
            ),
            models.UniqueConstraint(
                fields=["version", "kind"], condition=Q(version__isnull=False), name="paper_once_a_version_and_kind"
            ),
            models.UniqueConstraint(
                fields=["entry", "kind"], condition=Q(entry__isnull=False), name="paper_once_an_entry_and_kind"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.file}"
