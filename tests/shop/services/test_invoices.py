from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.contrib.auth.models import User
from django.db.models import Sum

from shop.models import Account, EntryTax, Event, LedgerEntry, Posting, Shop, TaxRate
from shop.selectors.build_money import build_money
from shop.selectors.invoices import invoice_draft, invoice_owed
from shop.selectors.money_facts import InvoiceFacts, kept_facts
from shop.selectors.storage import storage_due
from shop.services.certificates import certificate_end
from shop.services.errors import Refused
from shop.services.invoices import build_tell_ready, invoice_make, storage_charge
from shop.services.payments import deposit_add, invoice_pay
from tests.shop.made_money import make_invoiced_kit, make_kit_build, make_ready_kit, moved
from tests.shop.made_offers import DAY

D = Decimal


@pytest.fixture
def till(person: Callable[[str], User]) -> User:
    return person("counter")


@pytest.fixture(autouse=True)
def open_shop(shop: Shop, morning: datetime) -> Shop:
    return shop


def test_an_invoice_charges_what_was_agreed_and_takes_the_deposit_off(till: User) -> None:
    """1450.00, 6 % + 1 % on parts = 101.50, together 1551.50; 465.45 was taken, 1086.05 is left."""
    build = make_ready_kit(till)
    invoice = invoice_make(build=build, person=till, key="k")
    assert (invoice.document, invoice.receipt, invoice.day) == ("INV-1", None, DAY)
    assert moved(invoice) == [("receivable", "sales", D("1450.00")), ("receivable", "tax", D("101.50"))]
    applied = LedgerEntry.objects.get(kind="applied")
    assert moved(applied) == [("deposits", "receivable", D("465.45"))]
    assert (applied.concerns, invoice_owed(invoice)) == (invoice, D("1086.05"))
    taxes = EntryTax.objects.filter(entry=invoice).values_list("authority", "taxable", "amount")
    assert list(taxes) == [
        ("Port Example state", D(1450), D(87)),  # 6 %
        ("Port Example county", D(1450), D("14.50")),  # 1 %
    ]
    money = build_money([build])[build.pk]
    assert (money.total, money.paid, money.owed, money.held, money.invoiced) == (
        D("1551.50"),
        D("465.45"),
        D("1086.05"),
        D(0),
        True,
    )
    assert Event.objects.get(verb="invoiced").after == "INV-1: 1551.50 USD, 1086.05 to pay"


def test_the_document_says_what_the_book_says(till: User) -> None:
    invoice = make_invoiced_kit(till)
    facts = kept_facts(invoice, InvoiceFacts)
    assert (facts.sheet.due, facts.applied, facts.balance) == (D("1551.50"), D("465.45"), D("1086.05"))
    assert [(row.receipt, row.amount) for row in facts.deposits] == [("R-1", D("465.45"))]
    assert (facts.build, facts.quote, facts.changes) == ("B-1", "Q-1 version 1", ())
    assert all(line.cost is None and line.margin is None for line in facts.sheet.lines)


def test_tax_is_that_of_the_invoice_day_and_staff_are_told(till: User, set_clock) -> None:
    """The state's 6 % become 6.5 % on the 15th of March: 94.25 + 14.50, 1558.75 instead of 1551.50."""
    build = make_ready_kit(till)
    old = TaxRate.objects.get(authority__level="state", tax_class="parts")
    old.end = date(2026, 3, 14)
    old.save()
    TaxRate.objects.create(authority=old.authority, tax_class="parts", rate=D("0.065"), begin=date(2026, 3, 15))
    assert not invoice_draft(build).has_changed
    set_clock(datetime(2026, 3, 16, 14, tzinfo=UTC))
    draft = invoice_draft(build)
    assert draft.has_changed
    assert draft.difference.notes == ("Port Example state rate 6% to 6.5%.",)
    with pytest.raises(Refused, match=r"It comes to 1558.75 by now, not 1551.50"):
        invoice_make(build=build, person=till, key="k", shown=D("1551.50"))
    invoice = invoice_make(build=build, person=till, key="k", shown=D("1558.75"))
    assert kept_facts(invoice, InvoiceFacts).changes == (
        "Port Example state rate 6% to 6.5%.",
        "Agreed were 1551.50 USD; it comes to 1558.75.",
    )
    assert invoice_owed(invoice) == D("1558.75") - D("465.45")


def test_an_exempt_customer_is_not_taxed_and_an_expired_certificate_is(till: User) -> None:
    build = make_ready_kit(till)
    held = build.customer.certificates.create(number="EX-77", kind="resale", until=DAY)
    assert invoice_draft(build).sheet.due == D("1450.00")
    certificate_end(certificate=held, last=DAY - timedelta(days=1), person=till)
    assert invoice_draft(build).sheet.due == D("1551.50")
    certificate_end(certificate=held, last=DAY, person=till)
    invoice = invoice_make(build=build, person=till, key="k")
    facts = kept_facts(invoice, InvoiceFacts)
    assert (facts.exempt_certificate, facts.exempt_kind) == ("EX-77", "Resale")
    assert moved(invoice) == [("receivable", "sales", D("1450.00"))]


def test_what_cannot_be_invoiced(till: User) -> None:
    build, other = make_ready_kit(till, "Q-1"), make_ready_kit(till, "Q-2")
    with pytest.raises(Refused, match=r"B-3 is in line\. It is invoiced when it is ready"):
        invoice_make(build=make_kit_build(till, "Q-3"), person=till, key="k")
    first = invoice_make(build=build, person=till, key="k")
    assert invoice_make(build=build, person=till, key="k") == first
    with pytest.raises(Refused, match="is invoiced already"):
        invoice_make(build=build, person=till, key="another")
    with pytest.raises(Refused, match="used already for entry"):
        invoice_make(build=other, person=till, key="k")
    assert LedgerEntry.objects.filter(kind="invoice").count() == 1


def test_the_tax_of_a_day_must_be_known(till: User) -> None:
    build = make_ready_kit(till)
    TaxRate.objects.filter(tax_class="parts").update(end=DAY - timedelta(days=1))
    with pytest.raises(Refused, match="The tax of that day is not known: Port Example state"):
        invoice_make(build=build, person=till, key="k")


def test_more_than_the_price_stays_held(till: User) -> None:
    build = make_kit_build(till)
    with pytest.raises(Refused, match=r"is more than the 1086.05 that B-1 still asks"):
        deposit_add(build=build, amount=D(1100), method="bank", person=till, key="a")
    deposit_add(build=build, amount=D(1100), method="bank", person=till, key="a", allow_more=True)
    money = build_money([build])[build.pk]
    assert (money.owed, money.overpaid) == (D("-13.95"), D("13.95"))


def test_a_payment_is_taken_on_the_invoice(till: User) -> None:
    invoice = make_invoiced_kit(till)
    with pytest.raises(Refused, match="Take the payment on its invoice"):
        deposit_add(build=invoice.build, amount=D(1), method="cash", person=till, key="p")  # type: ignore[arg-type]
    paid = invoice_pay(invoice=invoice, amount=D(1000), method="checks", person=till, key="p", reference="no. 7")
    assert (paid.receipt, paid.concerns, moved(paid)) == ("R-2", invoice, [("checks", "receivable", D(1000))])
    assert invoice_pay(invoice=invoice, amount=D(1000), method="checks", person=till, key="p") == paid
    with pytest.raises(Refused, match="used already"):
        invoice_pay(invoice=invoice, amount=D(999), method="checks", person=till, key="p")
    with pytest.raises(Refused, match=r"more than the 86.05 that INV-1 still asks"):
        invoice_pay(invoice=invoice, amount=D("86.06"), method="cash", person=till, key="q")
    over = invoice_pay(invoice=invoice, amount=D(100), method="cash", person=till, key="q", allow_more=True)
    assert moved(over) == [("cash", "receivable", D("86.05")), ("cash", "deposits", D("13.95"))]
    with pytest.raises(Refused, match="INV-1 is paid"):
        invoice_pay(invoice=invoice, amount=D(1), method="cash", person=till, key="r")


def test_storage_counts_from_the_day_the_customer_was_told(till: User, set_clock, open_shop: Shop) -> None:
    """5 days free, then 25.00 a day; told on the 2nd: the 8th is the first day that costs. A fee is not taxed here."""
    Shop.objects.update(storage_fee=D(25))
    build = make_ready_kit(till)
    assert storage_due(build) is None
    build = build_tell_ready(build=build, told_on=DAY, person=till)
    for days, expected in ((5, 0), (6, 1), (15, 10)):
        due = storage_due(build, day=DAY + timedelta(days=days))
        assert due is not None
        assert due.days == expected
    with pytest.raises(Refused, match="owes no storage"):
        storage_charge(build=build, person=till, key="s")
    set_clock(datetime(2026, 3, 17, 14, tzinfo=UTC))  # 15 days on
    charged = storage_charge(build=build, person=till, key="s", shown=D(250))
    assert (charged.document, moved(charged)[0]) == ("INV-1", ("receivable", "storage", D(250)))
    assert invoice_owed(charged) == 0  # the deposit covers it: 465.45
    due = storage_due(build)
    assert due is not None
    assert (due.days, due.charged_days) == (0, 10)


def test_tax_by_authority_is_what_the_account_holds(till: User) -> None:
    make_invoiced_kit(till)
    make_invoiced_kit(till, "Q-2")
    held = Posting.objects.filter(credit=Account.TAX).aggregate(sum=Sum("amount"))["sum"]
    assert EntryTax.objects.aggregate(sum=Sum("amount"))["sum"] == held == D("203.00")
