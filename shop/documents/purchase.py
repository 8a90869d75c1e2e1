"""The purchase order a supplier gets: what, how many, at which price, where to. Nothing of customers or builds."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date
from decimal import Decimal
from typing import cast

from django.template.loader import render_to_string
from django.templatetags.static import static

from quoting.price import round_money
from shop.documents.pen import Pen
from shop.documents.quote import Head, head_of
from shop.documents.render import PRINT_STYLES, PRINTED, SCREEN_STYLES
from shop.models import OrderState, PurchaseOrder, PurchaseOrderLine, Shop
from shop.pdf import PageSize, render_pdf
from shop.selectors.document_facts import Addressee, letterhead_of
from shop.selectors.orders import order_for_supplier
from shop.selectors.shop import the_shop

NONE = Decimal(0)
TEMPLATE = "documents/purchase.html"
LITHIUM_KINDS = ("cell", "module")
# 49 CFR 173.185 and UN Manual of Tests and Criteria 38.3; the carrier's own rules and local law decide.
LITHIUM = (
    "Lithium cells and batteries travel as dangerous goods, class 9: packed, marked and declared by someone trained "
    "for it, with the test summary of UN 38.3. Tell us before you ship them."
)
CLOSING = (
    "Please confirm this order with a day for each line, and tell us at once when a day changes.",
    "Name our order number and your own part number on the delivery note, and the serial number of each motor, "
    "controller, module and charger.",
    "What differs from this order, in number, kind or price, needs our word first.",
)


@dataclass(frozen=True)
class PurchaseLine:
    """One line as it is printed. `code` the supplier's, else ours."""

    name: str
    code: str
    quantity: str
    each: str
    amount: str


@dataclass(frozen=True)
class PurchaseDocument:
    """`cautions` for what travels as dangerous goods; `void` when it was cancelled."""

    head: Head
    number: str
    facts: tuple[tuple[str, str], ...]
    deliver_to: tuple[str, ...]
    lines: tuple[PurchaseLine, ...]
    currency: str
    total: str
    closing: tuple[str, ...]
    cautions: tuple[str, ...]
    void: str


def purchase_document(order: PurchaseOrder, shop: Shop | None = None) -> PurchaseDocument:
    """From the order's rows, with what was cancelled of a line left out."""
    shop = shop or the_shop()
    order, lines, codes = order_for_supplier(order)
    letterhead, supplier = letterhead_of(shop), order.supplier
    pen = Pen(letterhead.locale, supplier.currency, shop.units)
    drawn = tuple(_line(line, codes.get(line.component_id, ""), pen) for line in lines if line.wanted)
    total = sum((_amount(line, supplier.currency) for line in lines), NONE)
    addressee = Addressee(name=supplier.name, address=supplier.address, email=supplier.email, phone=supplier.phone)
    return PurchaseDocument(
        head=head_of(
            letterhead,
            addressee,
            title=f"Purchase order {order.number}, {letterhead.name}",
            ref=order.number,
            made_at=order.created_at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"),
        ),
        number=order.number,
        facts=_facts(order, pen),
        deliver_to=tuple(row.strip() for row in letterhead.address.splitlines() if row.strip()),
        lines=drawn,
        currency=supplier.currency,
        total=pen.amount(total),
        closing=tuple(pen.own(text) for text in CLOSING),
        cautions=(pen.own(LITHIUM),) if any(line.component.kind in LITHIUM_KINDS for line in lines) else (),
        void="Cancelled. Please do not deliver." if order.state == OrderState.CANCELLED else "",
    )


def purchase_pdf(order: PurchaseOrder) -> bytes:
    """Raises shop.pdf.PdfUnavailable where the machine cannot."""
    document = purchase_document(order)
    html = _html(document, [PRINTED + name for name in PRINT_STYLES])
    paper = "A4" if document.head.paper == "A4" else "Letter"
    return render_pdf(html, page_size=cast("PageSize", paper))


def purchase_html(order: PurchaseOrder, *, pdf_address: str, back_address: str) -> str:
    """A page of its own for a browser: the order on paper, above it the way to its PDF and back."""
    styles = [static(name) for name in (*PRINT_STYLES, *SCREEN_STYLES)]
    addresses = {"pdf_address": pdf_address, "back_address": back_address}
    return _html(purchase_document(order), styles, on_screen=True, **addresses)


def _html(document: PurchaseDocument, styles: list[str], **context: object) -> str:
    return render_to_string(TEMPLATE, {"document": document, "styles": styles, **context})


def _facts(order: PurchaseOrder, pen: Pen) -> tuple[tuple[str, str], ...]:
    day: date = order.ordered_on or order.created_at.date()
    rows = [("Date", pen.day(day)), ("Currency", order.supplier.currency)]
    return (*rows, ("Note", order.note)) if order.note else tuple(rows)


def _line(line: PurchaseOrderLine, code: str, pen: Pen) -> PurchaseLine:
    return PurchaseLine(
        name=line.component.name,
        code=f"Your number {code}" if code else f"Our number {line.component.code}",
        quantity=pen.quantity(line.wanted, line.component.unit),
        each=pen.amount(line.unit_cost),
        amount=pen.amount(_amount(line, pen.currency)),
    )


def _amount(line: PurchaseOrderLine, currency: str) -> Decimal:
    return round_money(line.wanted * line.unit_cost, currency)
