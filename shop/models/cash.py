"""The cash book: append-only double entries.

An entry is a set of postings. A posting moves one amount from a credit account to a debit account, so every
posting balances by its form and no entry can be lopsided. Triggers refuse edits and deletes.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

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
    TAX_AHEAD = "tax_ahead", "Tax charged ahead"
    TRADE_IN = "trade_in", "Engines taken in"
    KEPT = "kept", "Deposits kept"
    STORAGE = "storage", "Storage fees"
    WRITE_OFF = "write_off", "Written off"


class Method(models.TextChoices):
    CASH = "cash", "Cash"
    CARD = "card", "Card terminal"
    BANK = "bank", "Transfer"
    CHECKS = "checks", "Check"


class EntryKind(models.TextChoices):
    DEPOSIT = "deposit", "Deposit taken"
    PAYMENT = "payment", "Payment"
    CLEARED = "cleared", "Check cleared"
    INVOICE = "invoice", "Invoice"
    APPLIED = "applied", "Deposit applied"
    CREDIT_NOTE = "credit_note", "Credit note"
    STORAGE = "storage", "Storage invoice"
    WRITE_OFF = "write_off", "Written off"
    REFUND = "refund", "Refund"
    KEPT = "kept", "Deposit kept"
    REVERSAL = "reversal", "Reversal"


# What has a receipt number, a document number, a way it was paid, an entry it is about, a reason.
WITH_RECEIPT = ("deposit", "payment", "refund", "kept")
WITH_DOCUMENT = ("invoice", "storage", "credit_note")
WITH_METHOD = ("deposit", "payment", "refund", "cleared")
WITH_CONCERN = ("payment", "cleared", "applied", "credit_note", "write_off")
WITH_REASON = ("reversal", "credit_note", "write_off", "refund", "kept")


class LedgerEntry(models.Model):
    """One event of money. `key` makes a repeated press harmless; `receipt` and `document` are gapless.

    `day` is the day it was received or counts for. `concerns` the invoice that is paid, credited or written off, or the
    payment whose check has cleared; a reversal's is that of what it undoes. `taxed_ahead` where a place taxes at
    payment: how much of what came in was taxed then; below zero when that was given back, kept or moved to an invoice.
    Triggers hold that no build's deposits or tax charged ahead and no invoice's balance go below zero, and that nothing
    is added to an entry once a later one stands.
    """

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    number = models.PositiveBigIntegerField(unique=True)
    kind = models.CharField(max_length=12, choices=EntryKind)
    day = models.DateField(help_text="In the shop's zone.")
    at = models.DateTimeField(auto_now_add=True)
    build = models.ForeignKey("shop.Build", null=True, blank=True, on_delete=models.PROTECT, related_name="entries")
    customer = models.ForeignKey("shop.Customer", on_delete=models.PROTECT, related_name="entries")
    method = models.CharField(max_length=8, choices=Method, blank=True)
    reference = models.CharField(max_length=80, blank=True)
    receipt = models.CharField(max_length=20, unique=True, null=True, blank=True)
    document = models.CharField(max_length=20, unique=True, null=True, blank=True)
    concerns = models.ForeignKey("self", null=True, blank=True, on_delete=models.PROTECT, related_name="followers")
    reverses = models.OneToOneField("self", null=True, blank=True, on_delete=models.PROTECT, related_name="reversed_by")
    reason = models.CharField(max_length=200, blank=True)
    taxed_ahead = MoneyField(default=Decimal(0))
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
            models.CheckConstraint(condition=~Q(kind__in=WITH_REASON) | ~Q(reason=""), name="entry_has_its_reason"),
            models.CheckConstraint(
                condition=Q(kind__in=WITH_RECEIPT, receipt__isnull=False)
                | (~Q(kind__in=WITH_RECEIPT) & Q(receipt__isnull=True)),
                name="entry_has_its_receipt",
            ),
            models.CheckConstraint(
                condition=Q(kind__in=WITH_DOCUMENT, document__isnull=False)
                | (~Q(kind__in=WITH_DOCUMENT) & Q(document__isnull=True)),
                name="entry_has_its_document",
            ),
            models.CheckConstraint(condition=~Q(kind__in=WITH_METHOD) | ~Q(method=""), name="entry_has_its_method"),
            models.CheckConstraint(
                condition=Q(kind="reversal")
                | Q(kind__in=WITH_CONCERN, concerns__isnull=False)
                | (~Q(kind__in=WITH_CONCERN) & Q(concerns__isnull=True)),
                name="entry_names_what_it_concerns",
            ),
            models.CheckConstraint(condition=Q(kind="reversal") | Q(build__isnull=False), name="entry_has_its_build"),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.get_kind_display()}"

    @property
    def money_postings(self) -> list[Posting]:
        """Its postings but those that only say when tax is due."""
        return [row for row in self.postings.all() if Account.TAX_AHEAD not in (row.debit, row.credit)]

    @property
    def moved(self) -> Decimal:
        """What it moved, by these postings."""
        return sum((row.amount for row in self.money_postings), Decimal(0))


class Posting(models.Model):
    """`amount` goes from `credit` to `debit`. `build` and `day` are its entry's, for sums that an index holds."""

    entry = models.ForeignKey(LedgerEntry, on_delete=models.PROTECT, related_name="postings")
    build = models.ForeignKey(
        "shop.Build", null=True, editable=False, on_delete=models.PROTECT, related_name="+", db_index=False
    )
    day = models.DateField(editable=False)
    debit = models.CharField(max_length=12, choices=Account)
    credit = models.CharField(max_length=12, choices=Account)
    amount = MoneyField()

    class Meta:
        ordering = ["entry", "pk"]
        indexes = [
            # What is held for each build on a day is a sum over all deposits there ever were.
            models.Index(
                fields=["build", "day", "debit", "credit", "amount"],
                condition=Q(debit="deposits") | Q(credit="deposits"),
                name="posting_of_deposits",
            ),
            # What each account held on a day is a sum over the whole book, read in the order of the groups.
            models.Index(fields=["debit", "credit", "day", "amount"], name="posting_by_accounts"),
        ]
        constraints = [
            models.CheckConstraint(condition=Q(amount__gt=0), name="posting_amount_above_zero"),
            models.CheckConstraint(condition=~Q(debit=F("credit")), name="posting_moves_between_accounts"),
            models.CheckConstraint(
                condition=Q(debit__in=Account.values, credit__in=Account.values), name="posting_accounts_known"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.amount} from {self.credit} to {self.debit}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        """With its entry's build and day; a trigger refuses others."""
        self.build_id, self.day = self.entry.build_id, self.entry.day
        super().save(*args, **kwargs)


class EntryTax(models.Model):
    """One authority's part of an invoice's tax; of a credit note's, below zero. Append-only.

    `ahead` where it was charged on a payment, and below zero where it is taken back or an invoice charges it. The sum
    over entries is what the account Tax owed holds; over those ahead, what Tax charged ahead holds.
    """

    entry = models.ForeignKey(LedgerEntry, on_delete=models.PROTECT, related_name="taxes")
    position = models.PositiveSmallIntegerField()
    authority = models.CharField(max_length=120)
    level = models.CharField(max_length=20)
    taxable = MoneyField()
    amount = MoneyField()
    ahead = models.BooleanField(default=False)

    class Meta:
        verbose_name_plural = "entry taxes"
        ordering = ["entry", "position"]
        constraints = [models.UniqueConstraint(fields=["entry", "position"], name="entry_tax_once_per_position")]

    def __str__(self) -> str:
        return f"{self.authority}: {self.amount}"
