"""A place that taxes at payment, on screen: 1,450.00 with 20 % in it, a deposit of 435.00 with 72.50 of tax."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import Build, Component, QuoteVersion, Shop
from shop.services.build_states import build_mark_ready
from shop.services.invoices import invoice_make
from shop.services.quotes import version_offer
from shop.services.stock_count import stock_receive
from tests.shop.made_money import MOTOR, make_draft_kit
from tests.shop.made_offers import make_part, take
from tests.shop.made_shop import make_tax_place
from tests.shop.views.test_change_orders import text

D = Decimal


@pytest.fixture
def owner(shop: Shop, morning, client_as) -> Client:
    Shop.objects.update(keep_from="parts", kept_basis="share", kept_rate=D("0.25"))
    client: Client = client_as("owner")
    return client


@pytest.fixture
def version(owner: Client, person) -> QuoteVersion:
    place = make_tax_place("port-inside", rates=("0.20",), mode="included", tax_point="payment")
    draft = make_draft_kit("Q-1", {make_part(MOTOR): 1}, False, 0, place)
    return version_offer(version=draft, person=person("owner"))


def read(client: Client, name: str, *args: object) -> str:
    page = client.get(reverse(name, args=args))
    assert page.status_code == 200
    return text(page)


def test_the_tax_in_a_deposit_is_told_before_and_after_it_is_taken(owner: Client, version, person):
    assert "included in prices due when money is received" in read(owner, "tax")
    assert "Tax in it, due when it is received $72.50" in read(owner, "deposit-take", version.public_id)
    taken = take(version, person("owner"))
    entry, build = taken.entry, taken.build
    assert "Tax in it, Port Inside state 20 % on 362.50 $72.50" in read(owner, "deposit-taken", entry.public_id)
    book = read(owner, "cash-book")
    assert "Tax owed → Tax charged ahead" in book
    assert book.count("Undo entry 1") == 1  # beside the money, not again beside its tax
    assert "Tax in that, charged when it was received $72.50" in read(owner, "build-money", build.public_id)
    assert "Tax in it is due when it is received" in read(owner, "build-pay", build.public_id)
    paper = read(owner, "receipt-document", entry.public_id)
    assert "Tax in this deposit, due Mar 2, 2026 Without tax 362.50 Port Inside state, 20 % on 362.50 72.50" in paper
    assert "due on what is received when it is received" in paper
    quote = read(owner, "quote-document", version.public_id)
    assert "On a deposit it is due when the deposit is received; the final invoice takes that off." in quote


def test_cancelling_says_what_tax_goes_back_and_what_stays(owner: Client, version, person):
    # A quarter of 435.00 is kept once the motor is kept for it: 18.13 of 72.50 stays.
    build = take(version, person("owner")).build
    stock_receive(component=Component.objects.get(), quantity=D(1), serials=["M-1"], person=person("owner"))
    page = read(owner, "build-cancel", build.public_id)
    assert "Tax in it, taken back from the authority $54.37" in page
    assert "Tax on what is kept, stays with the authority $18.13" in page
    assert "Ask it before you claim it back" in page


def test_the_invoice_says_what_was_charged_before(owner: Client, version, person):
    build = take(version, person("owner")).build
    stock_receive(component=Component.objects.get(), quantity=D(1), serials=["M-1"], person=person("owner"))
    ready: Build = build_mark_ready(build=build, person=person("owner"))
    draft = read(owner, "invoice-new", build.public_id)
    assert "Tax on the whole 241.67 Charged already with R-1 −72.50 Tax charged now 169.17" in draft
    invoice = invoice_make(build=ready, person=person("owner"), key="invoice")
    page = read(owner, "invoice", invoice.public_id)
    assert "Charged already with R-1, Port Inside state −72.50 Tax charged with it 169.17" in page
    paper = read(owner, "entry-paper", invoice.public_id)
    assert "Tax on the whole 241.67 Charged with R-1 −72.50 Charged now 169.17" in paper
