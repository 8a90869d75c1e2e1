"""Builds brought to the point where money moves: ready to invoice, invoiced, handed over."""

from __future__ import annotations

from decimal import Decimal

from django.contrib.auth.models import User

from shop.models import Build, Component, LedgerEntry, Quote, QuoteOption, QuoteVersion, Shop, TaxPlace
from shop.services.build_states import build_mark_ready
from shop.services.invoices import invoice_make
from shop.services.stock_count import stock_receive
from tests.shop import made_shop
from tests.shop.made_offers import make_kit, make_part, take_again

MOTOR = "MOT-1"  # 1450.00 and 7 % tax on parts: 1551.50; the deposit of 30 % is 465.45


def make_draft_kit(
    number: str, parts: dict[Component, int], discount: bool, allowance: int, place: TaxPlace | None = None
) -> QuoteVersion:
    """A parts kit not offered yet, with 5 % off or an engine taken in; at home unless a tax place is given."""
    quote = Quote.objects.create(number=number, customer=made_shop.make_customer(number), job="parts_kit")
    version = QuoteVersion.objects.create(quote=quote, tax_place=place or Shop.objects.get().home_tax_place)
    off = {"discount_rate": Decimal("0.05"), "discount_reason": "winter"} if discount else {}
    engine = {"allowance_amount": Decimal(allowance), "allowance_label": "Old engine"} if allowance else {}
    option = QuoteOption.objects.create(version=version, key="A", **off, **engine)
    for component, quantity in parts.items():
        option.parts.create(component=component, quantity=Decimal(quantity))
    return version


def make_kit_build(person: User, number: str = "Q-1", **deposit: object) -> Build:
    """A kit of one motor in line, its deposit taken."""
    motor = Component.objects.filter(code=MOTOR).first() or make_part(MOTOR)
    return take_again(make_kit(number, {motor: 1}), person, f"till {number}", **deposit).build


def make_ready_kit(person: User, number: str = "Q-1", **deposit: object) -> Build:
    """The same, its motor received with its number and issued."""
    build = make_kit_build(person, number, **deposit)
    motor = build.needs.get().component
    stock_receive(component=motor, quantity=Decimal(1), serials=[f"M-{number}"], person=person)
    return build_mark_ready(build=build, person=person)


def make_invoiced_kit(person: User, number: str = "Q-1", **deposit: object) -> LedgerEntry:
    """The same, invoiced: 1551.50 less the deposit of 465.45 leaves 1086.05."""
    return invoice_make(build=make_ready_kit(person, number, **deposit), person=person, key=f"invoice {number}")


def moved(entry: LedgerEntry) -> list[tuple[str, str, Decimal]]:
    """An entry's postings: to, from, how much."""
    return [(each.debit, each.credit, each.amount) for each in entry.postings.order_by("pk")]
