"""A place that taxes at payment: 20 % in prices, a motor of 1,450.00 with 241.67 of tax in it, a deposit of 435.00 with
72.50. All figures worked by hand.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from django.contrib.auth.models import User
from django.db.models import Sum

from shop.documents.invoice import invoice_document
from shop.documents.papers import Issued
from shop.documents.receipt import receipt_document
from shop.models import Account, Build, Component, EntryTax, LedgerEntry, Posting, Shop, TaxPlace, TaxRate
from shop.selectors.document_facts import receipt_facts
from shop.selectors.documents import issued_receipt
from shop.selectors.exports import deposits, tax
from shop.selectors.invoices import invoice_draft
from shop.selectors.money_facts import InvoiceFacts, RefundFacts, kept_facts
from shop.selectors.settlement import settlement_of
from shop.selectors.tax_ahead import standing_ahead
from shop.services.build_states import build_mark_ready
from shop.services.cash_reverse import deposit_correct, entry_reverse
from shop.services.credit_notes import credit_note_make
from shop.services.customers import customer_save
from shop.services.errors import Refused
from shop.services.invoices import build_tell_ready, invoice_make, storage_charge
from shop.services.payments import deposit_add
from shop.services.quotes import version_offer
from shop.services.refunds import build_cancel, refund_make
from shop.services.stock_count import stock_receive
from tests.shop.made_money import MOTOR, make_draft_kit, moved
from tests.shop.made_offers import DAY, make_part, take
from tests.shop.made_shop import make_tax_place

D = Decimal
FIRST, LAST = date(2026, 1, 1), date(2026, 12, 31)


@pytest.fixture
def till(person: Callable[[str], User]) -> User:
    return person("owner")


@pytest.fixture
def place(shop: Shop, morning: datetime) -> TaxPlace:
    Shop.objects.update(storage_fee=D("43.50"), storage_free_days=0)
    return make_tax_place("port-inside", rates=("0.20",), mode="included", tax_point="payment")


@pytest.fixture
def build(place: TaxPlace, till: User) -> Build:
    """In line with its deposit of 435.00, which is 30 % of 1,450.00."""
    motor = make_part(MOTOR)
    return take(version_offer(version=make_draft_kit("Q-1", {motor: 1}, False, 0, place), person=till), till).build


@pytest.fixture
def ready(build: Build, till: User) -> Build:
    stock_receive(component=Component.objects.get(), quantity=D(1), serials=["M-1"], person=till)
    return build_mark_ready(build=build, person=till)


def sums() -> tuple[Decimal, Decimal]:
    """What the book owes the authority, and holds as charged ahead; held against the rows of each authority."""
    found = []
    for account, rows in (("tax", EntryTax.objects.all()), ("tax_ahead", EntryTax.objects.filter(ahead=True))):
        up = Posting.objects.filter(credit=account).aggregate(s=Sum("amount", default=D(0)))["s"]
        down = Posting.objects.filter(debit=account).aggregate(s=Sum("amount", default=D(0)))["s"]
        assert abs(up - down) == abs(rows.aggregate(s=Sum("amount", default=D(0)))["s"])
        found.append(abs(up - down))
    return found[0], found[1]


def test_a_deposit_is_taxed_when_it_is_received(build: Build) -> None:
    entry = build.entries.get()
    assert moved(entry) == [("cash", "deposits", D(435)), ("tax_ahead", "tax", D("72.50"))]
    assert entry.taxed_ahead == 435
    row = entry.taxes.get()
    assert (row.authority, row.taxable, row.amount, row.ahead) == ("Port Inside state", D("362.50"), D("72.50"), True)
    assert entry.moved == 435  # what the customer paid, as every page and paper says
    paper = receipt_document(issued_receipt(entry))
    assert paper.taxed_words == "Tax in this deposit, due Mar\xa02,\xa02026"
    assert [(each.label, each.amount) for each in paper.taxed] == [
        ("Without tax", "362.50"),
        ("Port Inside state, 20\xa0% on 362.50", "72.50"),
    ]
    (month,) = list(tax(FIRST, LAST).rows())
    assert month == ("2026-03", "Port Inside state", "state", 1, D("362.50"), D("72.50"))
    (held,) = list(deposits(LAST).rows())
    assert (held[3], held[-1]) == (D(435), D("72.50"))


def test_the_invoice_charges_the_whole_less_what_was_charged_before(ready: Build, till: User) -> None:
    # A second deposit of 100.00: 241.67 × 535/1,450 = 89.17, less 72.50 is 16.67. 241.67 - 89.17 = 152.50 is left.
    second = deposit_add(build=ready, amount=D(100), method="bank", person=till, key="second").entry
    assert second.taxes.get().amount == D("16.67")
    draft = invoice_draft(ready)
    assert (draft.ahead.tax, draft.tax_now, draft.has_changed) == (D("89.17"), D("152.50"), False)
    invoice = invoice_make(build=ready, person=till, key="invoice")
    assert moved(invoice) == [
        ("receivable", "sales", D("1208.33")),
        ("receivable", "tax", D("241.67")),
        ("tax", "tax_ahead", D("89.17")),
    ]
    assert sums() == (D("241.67"), D(0))
    facts = kept_facts(invoice, InvoiceFacts)
    assert (facts.taxed_with, facts.tax_now) == (("R-1", "R-2"), D("152.50"))
    issued = Issued(number="I-1", facts=facts, entered_at=invoice.at, token="t", method="", reference="")
    assert [(row.label, row.amount) for row in invoice_document(issued).tax] == [
        ("Tax on the whole", "241.67"),
        ("Charged with R-1, R-2", "\N{MINUS SIGN}89.17"),
        ("Charged now", "152.50"),
    ]
    assert tax(FIRST, LAST).total == D("241.67")
    credit_note_make(invoice=invoice, lines=None, reason="wrong", person=till, key="credit")
    assert sums() == (D(0), D(0))


def test_a_deposit_undone_takes_its_tax_back_but_not_once_an_invoice_has_charged_it(ready: Build, till: User) -> None:
    second = deposit_add(build=ready, amount=D(100), method="checks", person=till, key="second").entry
    entry_reverse(entry=second, reason="bounced", person=till, key="undo second")
    assert sums() == (D("72.50"), D("72.50"))
    invoice_make(build=ready, person=till, key="invoice")
    entry_reverse(entry=ready.entries.get(receipt="R-1"), reason="bounced", person=till, key="undo first")
    assert sums() == (D("241.67"), D(0))


def test_undoing_what_an_invoice_has_charged_leaves_the_tax_of_later_deposits(ready: Build, till: User) -> None:
    # The invoice is credited whole. 100.00 come in towards the next one: 241.67 × 100/1,450 = 16.67. Then the first
    # deposit bounces, whose tax that invoice charged and its credit note took back.
    invoice = invoice_make(build=ready, person=till, key="invoice")
    credit_note_make(invoice=invoice, lines=None, reason="wrong", person=till, key="credit")
    deposit_add(build=ready, amount=D(100), method="bank", person=till, key="second")
    assert sums() == (D("16.67"), D("16.67"))
    entry_reverse(entry=ready.entries.get(receipt="R-1"), reason="bounced", person=till, key="undo first")
    assert sums() == (D("16.67"), D("16.67"))


def test_a_corrected_deposit_is_taxed_anew(build: Build, till: User) -> None:
    # 241.67 × 600/1,450 = 100.00.
    deposit_correct(
        entry=build.entries.get(), amount=D(600), method="card", reason="typo", person=till, key="c", allow_less=True
    )
    assert sums() == (D("100.00"), D("100.00"))


def test_the_tax_on_what_is_kept_stays_with_the_authority(build: Build, till: User) -> None:
    # A quarter of 435.00 is kept, 108.75, and with it a quarter of 72.50: 18.125, 18.13. 54.37 is taken back.
    entry = build_cancel(build=build, reason="moved", method="cash", person=till, key="c", kept=D("108.75"))
    assert entry is not None
    assert moved(entry) == [
        ("deposits", "cash", D("326.25")),
        ("deposits", "kept", D("108.75")),
        ("tax", "tax_ahead", D("54.37")),
        ("kept", "tax_ahead", D("18.13")),
    ]
    assert sums() == (D("18.13"), D(0))
    facts = kept_facts(entry, RefundFacts)
    assert (facts.taxes[0].amount, facts.taxes_kept[0].amount) == (D("54.37"), D("18.13"))
    entry_reverse(entry=entry, reason="never went out", person=till, key="undo")
    assert sums() == (D("72.50"), D("72.50"))


def test_cancelling_shows_the_tax_and_takes_all_of_it_back_with_the_whole_deposit(build: Build, till: User) -> None:
    settled = settlement_of(build)
    assert (settled.refunded, settled.tax_back, settled.tax_kept) == (D(435), D("72.50"), D(0))
    build_cancel(build=build, reason="moved", method="cash", person=till, key="c")
    assert sums() == (D(0), D(0))


def test_what_was_paid_too_much_is_not_taxed_and_goes_back_first(build: Build, till: User) -> None:
    deposit_add(build=build, amount=D(1100), method="cash", person=till, key="more", allow_more=True)
    assert (standing_ahead(build).gross, sums()) == (D(1450), (D("241.67"), D("241.67")))
    back = refund_make(build=build, amount=D(85), method="cash", reason="over", person=till, key="back")
    assert (back.taxed_ahead, sums()) == (D(0), (D("241.67"), D("241.67")))


def test_storage_is_taxed_by_its_own_invoice_and_what_pays_it_no_longer_ahead(
    ready: Build, till: User, set_clock: Callable[[datetime], None]
) -> None:
    # A fee is not taxed here: 10 days of 43.50 take 435.00 of the deposit, and its tax goes back until it is invoiced.
    build_tell_ready(build=ready, told_on=DAY, person=till)
    set_clock(datetime(2026, 3, 12, 14, tzinfo=UTC))
    storage_charge(build=ready, person=till, key="storage")
    assert (standing_ahead(ready).gross, sums()) == (D(0), (D(0), D(0)))


@pytest.mark.parametrize(("mode", "charged"), [("included", "248.66"), ("added", "300.15")])
def test_what_was_taxed_keeps_its_rate_when_the_rate_changes(
    place: TaxPlace, till: User, set_clock: Callable[[datetime], None], mode: str, charged: str
) -> None:
    """21 % from the 1st of April; the invoice of the 2nd.

    Included: 1,450.00 × 21/121 = 251.65 on the whole; on the 1,015.00 that were not taxed 176.16 (251.65 × 0.7 =
    176.155); with 72.50 248.66. Added: 1,740.00, of which 522.00 hold 435.00 and 87.00. The rest of 1,015.00 × 21 % =
    213.15; with 87.00 that is 300.15.
    """
    TaxPlace.objects.filter(pk=place.pk).update(mode=mode)
    TaxRate.objects.update(end=date(2026, 3, 31))
    for row in TaxRate.objects.all():
        rate = D("0.21") if row.taxed else D(0)
        TaxRate.objects.create(
            authority=row.authority, tax_class=row.tax_class, taxed=row.taxed, rate=rate, begin=date(2026, 4, 1)
        )
    motor = make_part(MOTOR)
    build = take(version_offer(version=make_draft_kit("Q-1", {motor: 1}, False, 0, place), person=till), till).build
    stock_receive(component=motor, quantity=D(1), serials=["M-1"], person=till)
    ready = build_mark_ready(build=build, person=till)
    set_clock(datetime(2026, 4, 2, 14, tzinfo=UTC))
    draft = invoice_draft(ready)
    expected = D(charged)
    assert (draft.sheet.tax_total, draft.has_changed) == (expected, True)
    assert draft.difference.notes == ("Port Inside state rate 20% to 21%.",)
    invoice = invoice_make(build=ready, person=till, key="invoice", shown=draft.sheet.due)
    assert sums() == (expected, D(0))
    credit_note_make(invoice=invoice, lines=None, reason="wrong", person=till, key="credit")
    assert sums() == (D(0), D(0))


def test_a_later_change_of_the_setting_leaves_deposits_as_they_are(ready: Build, place: TaxPlace, till: User) -> None:
    TaxPlace.objects.filter(pk=place.pk).update(tax_point="invoice")
    second = deposit_add(build=Build.objects.get(), amount=D(100), method="bank", person=till, key="second").entry
    assert receipt_facts(second).taxed is None
    assert (second.taxed_ahead, sums()[1]) == (D(0), D("72.50"))
    invoice_make(build=ready, person=till, key="invoice")
    assert sums() == (D("241.67"), D(0))


def test_who_turns_out_to_be_exempt_has_the_tax_taken_back_with_the_invoice(ready: Build, till: User) -> None:
    # Without tax the motor is 1,450.00 / 1.2 = 1,208.33.
    customer_save(customer=ready.customer, person=till, exempt_certificate="X-1")
    draft = invoice_draft(Build.objects.get())
    assert (draft.sheet.due, draft.tax_now) == (D("1208.33"), D("-72.50"))
    invoice_make(build=ready, person=till, key="invoice")
    assert sums() == (D(0), D(0))


def test_without_a_rate_on_the_day_nothing_is_taken(build: Build, till: User) -> None:
    TaxRate.objects.update(begin=date(2027, 1, 1))
    with pytest.raises(Refused, match="The tax of 2026-03-02 is not known"):
        deposit_add(build=Build.objects.get(), amount=D(100), method="bank", person=till, key="second")
    assert LedgerEntry.objects.count() == 1
    assert Account.TAX_AHEAD in {posting.debit for posting in Posting.objects.all()}
