"""What is kept with an offer and a deposit, and that documents stay as they were whatever becomes of the rows."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.test.utils import CaptureQueriesContext

from quoting import from_json
from shop.documents import document_html, quote_document, receipt_document
from shop.documents.receipt import ReceiptDocument
from shop.models import (
    Build,
    Component,
    Customer,
    DocumentFacts,
    LedgerEntry,
    PromiseEntry,
    Quote,
    QuoteOption,
    QuoteVersion,
    Shop,
)
from shop.selectors.document_facts import QuoteFacts, ReceiptFacts, quote_facts, receipt_facts
from shop.selectors.documents import (
    entry_for_customer,
    issued_quote,
    issued_receipt,
    version_for_customer,
)
from shop.services.cash_reverse import deposit_correct, entry_reverse
from shop.services.documents import quote_facts_keep, receipt_facts_keep
from shop.services.quotes import version_offer, version_revise
from tests.shop.made_builds import make_accepted, make_build
from tests.shop.made_offers import MORNING, make_kit, make_offered, price_of, take
from tests.shop.made_quotes import make_draft, make_sound_draft
from tests.shop.made_shop import make_customer

pytestmark = pytest.mark.django_db


@pytest.fixture
def offered(shop: Shop, morning: object) -> QuoteVersion:
    shop.deposit_terms, shop.storage_fee = "Refundable until parts are ordered.", Decimal(20)
    shop.save()
    return make_offered(shop)


@pytest.fixture
def boss(person: Callable[[str], User]) -> User:
    user = person("owner")
    user.first_name, user.last_name = "Robin", "Till"
    user.save()
    return user


def test_the_tax_number_stands_under_the_address_as_it_was_then(offered: QuoteVersion, shop: Shop) -> None:
    assert "Tax number" not in document_html(quote_document(issued_quote(offered)))
    Shop.objects.update(tax_number="EX 417")
    later = version_offer(version=version_revise(version=offered, person=None), person=None, now=MORNING)
    Shop.objects.update(tax_number="EX 418")
    assert quote_document(issued_quote(later)).head.shop_lines[-1] == "Tax number EX 417"


def everything_changes(shop: Shop) -> None:
    """Years later: another name, other terms, another locale and paper; the customer has moved; the line has moved."""
    Shop.objects.update(
        name="Another Name", address="Elsewhere", locale="fr-FR", paper="A4", units="metric", currency="EUR",
        deposit_terms="None of it comes back.", storage_fee=Decimal(99), storage_free_days=0,
    )  # fmt: skip
    Customer.objects.update(name="Other Name", address="Other Street")
    Build.objects.update(promised_from=date(2030, 1, 1), promised_to=date(2030, 2, 1), total=Decimal(1))


def test_an_offer_keeps_what_its_document_says(offered):
    kept = from_json(QuoteFacts, DocumentFacts.objects.get(version=offered).facts)
    assert kept.letterhead.deposit_terms == "Refundable until parts are ordered."
    assert kept.letterhead.storage_fee == Decimal(20)
    assert kept.addressee.name == "Casey Example"
    assert kept == quote_facts(offered)


def test_the_quote_stays_as_it_was(offered, shop):
    before = quote_document(issued_quote(offered))
    everything_changes(shop)
    assert quote_document(issued_quote(QuoteVersion.objects.get(pk=offered.pk))) == before


def test_decisions_and_the_note_are_kept(shop, morning):
    draft = make_draft_with_a_decision(shop)
    offered = version_offer(version=draft, person=None, now=MORNING)
    offered.options.get().decisions.all().delete()
    QuoteVersion.objects.filter(pk=offered.pk).update(note="changed")
    facts = issued_quote(QuoteVersion.objects.get(pk=offered.pk)).facts
    assert facts.note == "See you on Monday."
    assert [(item.option, item.rule, item.reason) for item in facts.decisions] == [("A", "vin", "seen on the frame")]


def make_draft_with_a_decision(shop: Shop) -> QuoteVersion:
    draft = make_sound_draft(shop, MORNING.date())
    draft.note = " See you on Monday.\n"
    draft.save()
    option = QuoteOption.objects.get(version=draft)
    option.decisions.create(rule="vin", reason="seen on the frame")
    return draft


def test_a_deposit_keeps_place_window_and_what_is_left(offered, boss):
    make_build(place=1)  # one is ahead
    taken = take(offered, boss, reference="no. 7")
    kept = from_json(ReceiptFacts, DocumentFacts.objects.get(entry=taken.entry).facts)
    price = price_of(offered)
    assert (kept.place, kept.finish_from, kept.finish_to) == (2, taken.build.promised_from, taken.build.promised_to)
    assert (kept.total, kept.before, kept.left) == (price.due, Decimal(0), price.due - price.deposit)
    assert (kept.build, kept.taken_by, kept.currency) == (taken.build.number, "Robin Till", "USD")
    assert kept == receipt_facts(taken.entry)


def test_the_receipt_stays_as_it_was(offered, boss, shop):
    taken = take(offered, boss)
    before = receipt_document(issued_receipt(taken.entry))
    everything_changes(shop)
    PromiseEntry.objects.create(
        build=taken.build, kind="changed", finish_from=date(2030, 1, 1), finish_to=date(2030, 2, 1), revision=9,
        reason="the motor is late",
    )  # fmt: skip
    Build.objects.filter(pk=taken.build.pk).update(place=41)
    after = receipt_document(issued_receipt(LedgerEntry.objects.get(pk=taken.entry.pk)))
    assert after == before
    assert after.place == "Place 1 in line"
    assert document_html(after) == document_html(before)


def test_a_corrected_deposit_voids_the_old_receipt_and_gives_a_new_one(offered, boss):
    taken = take(offered, boss)
    price = price_of(offered)
    amount = price.deposit + 100
    again = deposit_correct(
        entry=taken.entry, amount=amount, method="bank", reason="wrong amount", person=boss, key="till-2"
    )
    old, new = (receipt_document(issued_receipt(entry)) for entry in (taken.entry, again))
    assert "Void." in old.void
    assert new.void == ""
    facts = issued_receipt(again).facts
    assert (facts.before, facts.left) == (Decimal(0), price.due - amount)  # the first one has been reversed


def test_a_reversed_deposit_is_void_and_says_when(offered, boss):
    taken = take(offered, boss)
    entry_reverse(entry=taken.entry, reason="the check bounced", person=boss, key="undo")
    document = receipt_document(issued_receipt(taken.entry))
    assert document.void.replace("\xa0", " ") == "Void. This deposit was reversed on Mar 2, 2026."
    assert "bounced" not in document_html(document)  # why is the shop's own note


def test_keeping_twice_keeps_the_first(offered, boss, shop):
    Shop.objects.update(name="Another Name")
    again = quote_facts_keep(version=offered)
    assert from_json(QuoteFacts, again.facts).letterhead.name == shop.name
    taken = take(offered, boss)
    Build.objects.filter(pk=taken.build.pk).update(place=41)
    assert from_json(ReceiptFacts, receipt_facts_keep(entry=taken.entry).facts).place == 1
    assert DocumentFacts.objects.count() == 2


def test_rows_from_before_facts_were_kept_still_print(shop, boss):
    """Such a deposit's place is not known any more: no other one is printed for it."""
    build = make_build(place=3, version=make_frozen_version())
    PromiseEntry.objects.create(
        build=build, kind="first", finish_from=date(2026, 5, 4), finish_to=date(2026, 5, 20), revision=1
    )
    entry = LedgerEntry.objects.create(
        number=1, kind="deposit", day=date(2026, 3, 2), build=build, customer=build.customer, method="cash",
        receipt="R-1", key="k", person=boss,
    )  # fmt: skip
    entry.postings.create(debit="cash", credit="deposits", amount=Decimal(4000))
    document = receipt_document(issued_receipt(entry))
    assert isinstance(document, ReceiptDocument)
    assert (document.place, document.window) == ("", "May 4 – 20, 2026")
    assert document.left == "$11,000.00"  # of 15,000


def make_frozen_version() -> QuoteVersion:
    return make_accepted("Q-9", make_customer(), result={"currency": "USD"})


def test_a_draft_has_no_document(shop):
    with pytest.raises(QuoteVersion.DoesNotExist, match="draft"):
        issued_quote(make_draft())


def test_an_entry_without_a_receipt_has_no_document(offered, boss):
    taken = take(offered, boss)
    reversal = entry_reverse(entry=taken.entry, reason="wrong till", person=boss, key="undo")
    with pytest.raises(LedgerEntry.DoesNotExist, match="no receipt"):
        issued_receipt(reversal)


def test_a_later_version_knows_the_one_before_it(offered):
    draft = version_revise(version=offered, person=None)
    QuoteOption.objects.filter(version=draft).update(contingency_rate=Decimal("0.08"))
    second = version_offer(version=draft, person=None, now=MORNING)
    issued = issued_quote(second)
    assert issued.earlier is not None
    assert issued.earlier.number == 1
    changes = quote_document(issued).options[0].changes
    assert changes is not None
    assert any("contingency 8%" in sentence for sentence in changes.sentences)


def test_a_customers_link_opens_their_own_papers(offered, boss, morning):
    taken = take(offered, boss)
    other = make_kit("Q-8", {Component.objects.get(code="SWI-1"): 1})
    for token in (offered.quote.link_token, taken.build.link_token):
        assert version_for_customer(token, offered.public_id) == offered
        assert entry_for_customer(token, taken.entry.public_id) == taken.entry
        with pytest.raises(QuoteVersion.DoesNotExist):
            version_for_customer(token, other.public_id)
    for token in (other.quote.link_token, "no-such-link"):
        with pytest.raises((LedgerEntry.DoesNotExist, Quote.DoesNotExist)):
            entry_for_customer(token, taken.entry.public_id)


def test_a_draft_is_not_for_customers(offered):
    draft = version_revise(version=offered, person=None)
    with pytest.raises(QuoteVersion.DoesNotExist):
        version_for_customer(offered.quote.link_token, draft.public_id)


def test_few_queries_and_none_while_it_is_laid_out(offered, boss):
    taken = take(offered, boss)
    version = QuoteVersion.objects.select_related("quote__customer").get(pk=offered.pk)
    with CaptureQueriesContext(connection) as queries:
        quote = issued_quote(version)
    assert len(queries) <= 2  # kept facts, the version before
    with CaptureQueriesContext(connection) as queries:
        receipt = issued_receipt(taken.entry)
    assert len(queries) <= 3  # a reversal, kept facts, the posting
    with CaptureQueriesContext(connection) as queries:
        document_html(quote_document(quote))
        document_html(receipt_document(receipt))
    assert len(queries) == 0
