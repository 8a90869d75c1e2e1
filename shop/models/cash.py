"""The cash book: append-only double entries.

An entry is a set of postings. A posting moves one amount from a credit account to a debit account, so every
posting balances by its form and no entry can be lopsided. Triggers refuse edits and deletes.
"""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from shop.models.exact import MoneyField, new_public_id


class Account(models.TextChoices):
    CASH = "cash", "Cash drawer"
    CARD = "card", "Card terminal"
    BANK = "bank", "Bank"
    CHECKS = "checks", "Checks to clear"
    DEPOSITS = "deposits", "Deposits held"
    RECEIVABLE = "receivable", "Owed by customers"
    SALES = "sales", "Sales"
    TAX = "tax", "Tax owed"
    WRITE_OFF = "write_off", "Written off"


class Method(models.TextChoices):
    CASH = "cash", "Cash"
    CARD = "card", "Card terminal"
    BANK = "bank", "Transfer"
    CHECKS = "checks", "Check"


class EntryKind(models.TextChoices):
    DEPOSIT = "deposit", "Deposit taken"
    REFUND = "refund", "Refund"
    REVERSAL = "reversal", "Reversal"


class LedgerEntry(models.Model):
    """One event of money. `key` makes a repeated press harmless; `receipt` is gapless."""

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    number = models.PositiveBigIntegerField(unique=True)
    kind = models.CharField(max_length=10, choices=EntryKind)
    day = models.DateField(help_text="In the shop's zone.")
    at = models.DateTimeField(auto_now_add=True)
    build = models.ForeignKey("shop.Build", null=True, blank=True, on_delete=models.PROTECT, related_name="entries")
    customer = models.ForeignKey("shop.Customer", on_delete=models.PROTECT, related_name="entries")
    method = models.CharField(max_length=8, choices=Method, blank=True)
    reference = models.CharField(max_length=80, blank=True)
    receipt = models.CharField(max_length=20, unique=True, null=True, blank=True)
    reverses = models.OneToOneField("self", null=True, blank=True, on_delete=models.PROTECT, related_name="reversed_by")
    reason = models.CharField(max_length=200, blank=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    key = models.CharField(max_length=80, unique=True)

    class Meta:
        verbose_name_plural = "ledger entries"
        ordering = ["-number"]
        indexes = [models.Index(fields=["day"], name="entry_by_day")]  # reports ask for periods
        constraints = [
            models.CheckConstraint(
                condition=Q(kind="reversal", reverses__isnull=False) | (~Q(kind="reversal") & Q(reverses__isnull=True)),
                name="entry_reversal_names_entry",
            ),
            models.CheckConstraint(condition=~Q(kind="reversal") | ~Q(reason=""), name="entry_reversal_has_reason"),
            models.CheckConstraint(
                condition=~Q(kind="deposit") | (Q(receipt__isnull=False, build__isnull=False) & ~Q(method="")),
                name="entry_deposit_is_complete",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.get_kind_display()}"


class Posting(models.Model):
    """`amount` goes from `credit` to `debit`."""

    entry = models.ForeignKey(LedgerEntry, on_delete=models.PROTECT, related_name="postings")
    debit = models.CharField(max_length=12, choices=Account)
    credit = models.CharField(max_length=12, choices=Account)
    amount = MoneyField()

    class Meta:
        ordering = ["entry", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(amount__gt=0), name="posting_amount_above_zero"),
            models.CheckConstraint(condition=~Q(debit=F("credit")), name="posting_moves_between_accounts"),
            models.CheckConstraint(
                condition=Q(debit__in=Account.values, credit__in=Account.values), name="posting_accounts_known"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.amount} from {self.credit} to {self.debit}"
