"""What the cash book may never come to, held by the database whichever way Python is gone around."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError, transaction

from shop.models import Build, LedgerEntry, Posting
from tests.shop.made_builds import make_build
from tests.shop.models.rows import DAY

pytestmark = pytest.mark.django_db


def entry(of: Build, kind: str, *postings: tuple[str, str, str], **changed: Any) -> LedgerEntry:
    """One entry with what it moves: to, from, how much."""
    number = LedgerEntry.objects.count() + 1
    values: dict[str, Any] = {"kind": kind, "day": DAY, "build": of, "customer": of.customer, "number": number}
    if kind in ("deposit", "payment", "refund", "kept"):
        values |= {"receipt": f"R-{number}", "method": "cash", "reason": "because"}
    if kind in ("invoice", "storage", "credit_note"):
        values |= {"document": f"D-{number}", "reason": "because"}
    made = LedgerEntry.objects.create(key=f"key {number}", **{**values, **changed})
    for debit, credit, amount in postings:
        Posting.objects.create(entry=made, debit=debit, credit=credit, amount=Decimal(amount))
    return made


def refused(words: str, *args: Any, **changed: Any) -> None:
    count = Posting.objects.count()
    with pytest.raises(IntegrityError, match=words), transaction.atomic():
        entry(*args, **changed)
    assert Posting.objects.count() == count


def test_no_builds_deposits_go_below_zero() -> None:
    one, two = make_build(1), make_build(2)
    entry(one, "deposit", ("cash", "deposits", "100.00"))
    entry(two, "deposit", ("cash", "deposits", "500.00"))  # another build's money helps nobody
    refused("deposits would go below zero", one, "refund", ("deposits", "cash", "100.01"))
    entry(one, "refund", ("deposits", "cash", "100.00"))
    refused("deposits would go below zero", one, "refund", ("deposits", "cash", "0.01"))


def test_tax_charged_ahead_of_a_build_goes_neither_below_zero_nor_above_its_deposits() -> None:
    one, two = make_build(1), make_build(2)
    words = "tax charged ahead of a build"
    refused(words, one, "deposit", ("tax_ahead", "tax", "0.01"))  # nothing is held yet
    entry(one, "deposit", ("cash", "deposits", "600.00"), ("tax_ahead", "tax", "100.00"))
    refused(words, two, "deposit", ("cash", "deposits", "1.00"), ("tax_ahead", "tax", "1.01"))
    refused(words, two, "refund", ("tax", "tax_ahead", "0.01"))  # another build's tax helps nobody
    refused(words, one, "refund", ("deposits", "cash", "600.00"), ("tax", "tax_ahead", "100.01"))
    entry(one, "refund", ("deposits", "cash", "600.00"), ("tax", "tax_ahead", "100.00"))


def test_deposits_belong_to_a_build() -> None:
    first = entry(make_build(), "deposit", ("cash", "deposits", "1.00"))
    undo = {"reverses": first, "reason": "because", "build": None}
    refused("deposits would go below zero", first.build, "reversal", ("deposits", "cash", "1.00"), **undo)


def test_no_invoice_is_paid_more_than_it_asks() -> None:
    build = make_build()
    one = entry(build, "invoice", ("receivable", "sales", "100.00"), ("receivable", "tax", "7.00"))
    entry(build, "invoice", ("receivable", "sales", "900.00"))  # another invoice's balance helps nothing
    paid = entry(build, "payment", ("cash", "receivable", "107.00"), concerns=one)
    refused("balance would go below zero", build, "payment", ("cash", "receivable", "0.01"), concerns=one)
    undo: dict[str, Any] = {"concerns": one, "reverses": paid, "reason": "bounced"}
    entry(build, "reversal", ("receivable", "cash", "107.00"), **undo)
    entry(build, "credit_note", ("sales", "receivable", "100.00"), ("tax", "receivable", "7.00"), concerns=one)
    refused(
        "balance would go below zero", build, "write_off", ("write_off", "receivable", "0.01"), concerns=one, reason="x"
    )


def test_nothing_is_owed_without_an_invoice() -> None:
    refused("balance would go below zero", make_build(), "deposit", ("receivable", "deposits", "1.00"))


def test_nothing_is_added_to_an_entry_once_a_later_one_stands() -> None:
    build = make_build()
    first = entry(build, "deposit", ("cash", "deposits", "1.00"))
    Posting.objects.create(entry=first, debit="card", credit="deposits", amount=Decimal(1))  # still the newest
    entry(build, "deposit", ("cash", "deposits", "1.00"))
    with pytest.raises(IntegrityError, match="later entries stand"), transaction.atomic():
        Posting.objects.create(entry=first, debit="card", credit="deposits", amount=Decimal(1))


def test_a_posting_is_of_its_entrys_build_and_day() -> None:
    made = entry(make_build(), "deposit", ("cash", "deposits", "1.00"))
    row = {"entry": made, "debit": "cash", "credit": "deposits", "amount": Decimal(1)}
    for wrong in ({"day": date(2025, 1, 1), "build": made.build}, {"day": made.day, "build": None}):
        with pytest.raises(IntegrityError, match="entry's build and day"), transaction.atomic():
            Posting.objects.bulk_create([Posting(**row, **wrong)])  # as `save` would not write it
    Posting.objects.bulk_create([Posting(**row, day=made.day, build=made.build)])
    assert set(Posting.objects.values_list("build", "day")) == {(made.build_id, made.day)}
