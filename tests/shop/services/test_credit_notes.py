from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal

import pytest
from django.contrib.auth.models import User
from django.db.models import Sum

from shop.models import Account, EntryTax, LedgerEntry, Posting, QuoteOption, Shop
from shop.selectors.build_money import build_money
from shop.selectors.invoices import creditable_lines, invoice_draft, invoice_owed
from shop.selectors.money_facts import CreditFacts, kept_facts
from shop.services.build_states import build_mark_ready
from shop.services.cash_reverse import entry_reverse
from shop.services.credit_notes import credit_note_make, write_off
from shop.services.errors import Refused
from shop.services.invoices import invoice_make
from shop.services.payments import invoice_pay
from shop.services.quotes import version_offer
from shop.services.refunds import build_cancel, refund_make
from shop.services.stock_count import stock_receive
from tests.shop.made_money import make_invoiced_kit, make_kit_build, moved
from tests.shop.made_offers import make_kit, make_part, take

D = Decimal


@pytest.fixture
def owner(person: Callable[[str], User]) -> User:
    return person("owner")


@pytest.fixture(autouse=True)
def open_shop(shop: Shop, morning: datetime) -> Shop:
    return shop


def credit(invoice: LedgerEntry, person: User, lines: list[int] | None = None, key: str = "c") -> LedgerEntry:
    return credit_note_make(invoice=invoice, lines=lines, reason="wrong motor", person=person, key=key)


@pytest.fixture
def two_lines(owner: User) -> LedgerEntry:
    """Motor 1450.00 and charger 420.00, an engine taken in at 200.00, all paid.

    1870.00 net, 7 % = 130.90, together 2000.90, 1800.90 to pay; a deposit of 540.27 and the rest are paid.
    """
    version = make_kit("Q-9", {make_part("MOT-1"): 1, make_part("CHG-1"): 1})
    quote = version.quote
    from_before = QuoteOption.objects.filter(version=version)
    assert from_before.exists()
    draft = quote.versions.create(number=2, tax_place=version.tax_place)
    option = draft.options.create(key="A", allowance_amount=D(200), allowance_label="Old engine")
    for part in version.options.get().parts.all():
        option.parts.create(component=part.component, quantity=1)
    build = take(version_offer(version=draft, person=None), owner).build
    for need in build.needs.select_related("component"):
        stock_receive(component=need.component, quantity=D(1), person=owner)
    invoice = invoice_make(build=build_mark_ready(build=build, person=owner), person=owner, key="invoice")
    invoice_pay(invoice=invoice, amount=invoice_owed(invoice), method="cash", person=owner, key="paid")
    return invoice


def test_an_unpaid_invoice_credited_whole_asks_nothing_and_can_be_made_anew(owner: User) -> None:
    invoice = make_invoiced_kit(owner)
    note = credit(invoice, owner)
    assert (note.document, note.reason) == ("CN-1", "wrong motor")
    # 1551.50 credited where 1086.05 was owed: the deposit of 465.45 is held for the customer again.
    assert moved(note) == [
        ("receivable", "deposits", D("465.45")),
        ("sales", "receivable", D("1450.00")),
        ("tax", "receivable", D("101.50")),
    ]
    build = invoice.build
    assert build is not None
    money = build_money([build])[build.pk]
    assert (money.invoiced, money.held, money.owed) == (False, D("465.45"), D("1086.05"))
    assert not invoice_draft(build).barred
    again = invoice_make(build=build, person=owner, key="again")
    assert (again.document, invoice_owed(again), invoice_owed(invoice)) == ("INV-2", D("1086.05"), D(0))
    assert credit(invoice, owner) == note
    with pytest.raises(Refused, match="INV-1 was credited whole already"):
        credit(invoice, owner, key="d")


def test_lines_are_credited_with_their_tax_and_the_engine_with_the_last(two_lines: LedgerEntry, owner: User) -> None:
    rows = {row.label: row for row in creditable_lines(two_lines)}
    labels = sorted(rows, key=lambda label: rows[label].net)
    charger, motor = rows[labels[0]], rows[labels[1]]
    note = credit(two_lines, owner, [charger.line])
    facts = kept_facts(note, CreditFacts)
    assert (facts.net, facts.allowance, facts.owed) == (charger.net, D(0), D(0))
    assert facts.tax == charger.tax
    assert facts.total == facts.to_customer == charger.total
    with pytest.raises(Refused) as caught:
        credit(two_lines, owner, [charger.line], key="d")
    assert caught.value.field == "lines"
    last = kept_facts(credit(two_lines, owner, [motor.line], key="e"), CreditFacts)
    assert (last.allowance, last.total) == (D(200), motor.total - 200)
    build = two_lines.build
    assert build is not None
    money = build_money([build])[build.pk]
    assert money.held == money.paid  # all that was paid is the customer's again
    assert facts.total + last.total == money.paid
    build_cancel(build=build, reason="returned", method="cash", person=owner, key="r")
    held = Posting.objects.filter(entry__build=build)
    for account in (Account.SALES, Account.TAX, Account.RECEIVABLE, Account.DEPOSITS, Account.TRADE_IN, Account.CASH):
        up = held.filter(debit=account).aggregate(sum=Sum("amount"))["sum"]
        assert up == held.filter(credit=account).aggregate(sum=Sum("amount"))["sum"], account
    taxes = EntryTax.objects.values("authority").annotate(sum=Sum("amount"), on=Sum("taxable"))
    assert {(row["sum"], row["on"]) for row in taxes} == {(0, 0)}


def test_what_was_written_off_is_not_given_back_by_a_credit_note(owner: User) -> None:
    invoice = make_invoiced_kit(owner)
    gone = write_off(invoice=invoice, reason="went abroad", person=owner, key="w")
    assert moved(gone) == [("write_off", "receivable", D("1086.05"))]
    assert write_off(invoice=invoice, reason="went abroad", person=owner, key="w") == gone
    with pytest.raises(Refused, match="asks nothing any more"):
        write_off(invoice=invoice, reason="again", person=owner, key="x")
    note = credit(invoice, owner)
    assert moved(note)[:2] == [("receivable", "write_off", D("1086.05")), ("receivable", "deposits", D("465.45"))]
    with pytest.raises(Refused, match="CN-1 has credited what was written off"):
        entry_reverse(entry=gone, reason="paid after all", person=owner, key="u")


def test_a_write_off_comes_back_when_the_customer_pays_after_all(owner: User) -> None:
    invoice = make_invoiced_kit(owner)
    gone = write_off(invoice=invoice, reason="went abroad", person=owner, key="w")
    entry_reverse(entry=gone, reason="came back", person=owner, key="u")
    assert invoice_owed(invoice) == D("1086.05")


def test_a_deposit_that_bounces_after_it_was_invoiced_is_owed_again(owner: User) -> None:
    invoice = make_invoiced_kit(owner, method="checks")
    deposit = LedgerEntry.objects.get(kind="deposit")
    entry_reverse(entry=deposit, reason="bounced", person=owner, key="u")
    assert invoice_owed(invoice) == D("1551.50")
    build = invoice.build
    assert build is not None
    money = build_money([build])[build.pk]
    assert (money.paid, money.held, money.owed) == (D(0), D(0), D("1551.50"))
    build.refresh_from_db()
    assert build.state == "ready"  # an invoiced bike stays where it is


def test_a_payment_that_bounces_is_owed_again_with_what_was_given_back_of_it(owner: User) -> None:
    invoice = make_invoiced_kit(owner)
    paid = invoice_pay(invoice=invoice, amount=D(1100), method="checks", person=owner, key="p", allow_more=True)
    build = invoice.build
    assert build is not None
    refund_make(build=build, amount=D("13.95"), method="cash", reason="over", person=owner, key="r")
    entry_reverse(entry=paid, reason="bounced", person=owner, key="u")
    assert invoice_owed(invoice) == D(1100)  # 1086.05, and the 13.95 that was given back of money that never came
    money = build_money([build])[build.pk]
    assert (money.paid, money.held) == (D("451.50"), D(0))  # 465.45 less the 13.95


def test_what_was_given_back_whole_cannot_bounce_any_more(owner: User) -> None:
    build = make_kit_build(owner, method="checks")
    build_cancel(build=build, reason="moved", method="cash", person=owner, key="c")
    deposit = LedgerEntry.objects.get(kind="deposit")
    with pytest.raises(Refused, match="given back or kept already"):
        entry_reverse(entry=deposit, reason="bounced", person=owner, key="u")
    assert LedgerEntry.objects.count() == 2


def test_invoices_are_not_undone(owner: User) -> None:
    with pytest.raises(Refused, match="put right with a credit note"):
        entry_reverse(entry=make_invoiced_kit(owner), reason="typo", person=owner, key="u")
