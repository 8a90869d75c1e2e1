"""One of everything a shop has on its screens: a build in line, orders, quotes in every hand, stock, an entry."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cached_property
from typing import Any

from django.contrib.auth.models import User

from shop.models import (
    Build,
    BuildStep,
    ChangeOrder,
    Component,
    Customer,
    Donor,
    DonorFamily,
    IssuedPaper,
    LedgerEntry,
    OptionPart,
    OptionStep,
    PaperFile,
    PurchaseOrder,
    PurchaseOrderLine,
    QuoteOption,
    QuoteVersion,
    Shop,
    Supplier,
)
from shop.services.build_states import build_mark_ready
from shop.services.invoices import invoice_make
from shop.services.quotes import extra_add
from shop.services.stock_count import stock_receive
from tests.shop.made_builds import make_order, make_order_line
from tests.shop.made_changes import begin, offer
from tests.shop.made_offers import make_kit, make_offered, take
from tests.shop.made_quotes import add_routing, make_draft


@dataclass(frozen=True)
class Day:
    """`build` came from `accepted`; `offered` is a kit's quote without a deposit; `draft` has option A with a motor.

    The motor and its controller are ordered: the motor is expected on `sent`, the controller stands on `unsent`.
    The cells are short and on no order; the charger is on the shelf.
    """

    build: Build
    entry: LedgerEntry
    accepted: QuoteVersion
    offered: QuoteVersion
    draft: QuoteVersion
    sent: PurchaseOrder
    line: PurchaseOrderLine
    unsent: PurchaseOrder
    motor: Component
    cell: Component
    charger: Component
    supplier: Supplier

    @property
    def customer(self) -> Customer:
        return self.build.customer

    @property
    def donor(self) -> Donor:
        assert self.build.donor is not None
        return self.build.donor

    @property
    def family(self) -> DonorFamily:
        return self.donor.family

    @cached_property
    def change(self) -> ChangeOrder:
        """An offered change order to the build, made when it is first asked for."""
        change, option = begin(self.build, None)
        fee: dict[str, Any] = {
            "kind": "fee",
            "label": "Decals",
            "amount": Decimal(40),
            "cost": None,
            "tax_class": "fee",
        }
        extra_add(option=option, person=None, **fee)
        return offer(change)

    @cached_property
    def invoice(self) -> LedgerEntry:
        """The invoice of a kit that is ready, its balance open, made when it is first asked for."""
        owner = self.entry.person
        assert owner is not None
        build = take(make_kit("Q-4", {self.charger: 1}, owner), owner, "kit").build
        stock_receive(component=self.charger, quantity=Decimal(2), person=owner)
        return invoice_make(build=build_mark_ready(build=build, person=owner), person=owner, key="invoice")

    @cached_property
    def statement(self) -> IssuedPaper:
        """A statement that was made."""
        file = PaperFile.objects.create(sha256="0" * 64, data=b"%PDF-1.7")
        day = self.entry.day
        return IssuedPaper.objects.create(kind="statement", customer=self.customer, day=day, file=file)

    def step(self, code: str = "teardown") -> BuildStep:
        return self.build.steps.get(code=code)


def make_day(shop: Shop, owner: User) -> Day:
    """Call it on the morning of the 2nd of March 2026, see the fixture `morning`."""
    accepted = make_offered(shop, owner)
    taken = take(accepted, owner)
    part = {code: Component.objects.get(code=code) for code in ("MOT-1", "CON-1", "CEL-1", "CHG-1")}
    stock_receive(component=part["CHG-1"], quantity=Decimal(1), person=owner)
    sent = make_order("P-310")
    line = make_order_line(part["MOT-1"], 1, order=sent, expected_on=date(2026, 3, 20))
    unsent = make_order("P-311", state="draft", ordered_on=None)
    make_order_line(part["CON-1"], 1, order=unsent)
    draft = make_draft("Q-2", customer=taken.build.customer, donor=taken.build.donor, tax_place=shop.home_tax_place)
    option = QuoteOption.objects.create(version=draft, key="A", series=20, parallel=24)
    OptionPart.objects.create(option=option, component=part["MOT-1"], quantity=Decimal(1))
    add_routing(option)
    assert OptionStep.objects.filter(option=option).exists()
    accepted.refresh_from_db()
    return Day(
        build=taken.build,
        entry=taken.entry,
        accepted=accepted,
        offered=make_kit("Q-3", {part["CHG-1"]: 1}, owner),
        draft=draft,
        sent=sent,
        line=line,
        unsent=unsent,
        motor=part["MOT-1"],
        cell=part["CEL-1"],
        charger=part["CHG-1"],
        supplier=sent.supplier,
    )
