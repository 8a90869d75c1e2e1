"""What an option comes to, as printed: lines by group, sums that add up, and the box on the first page.

Built from sheets without cost and margin; nothing here could print them.
"""

from __future__ import annotations

from dataclasses import dataclass

from quoting.price import exempt_in_force, without_costs
from quoting.request import Policies
from quoting.result import PriceLine, PriceSheet, TaxShare
from shop.documents.pen import Pen

GROUPS = (
    ("parts", "Parts"),
    ("hours", "Work"),
    ("extras", "Outside work, freight and fees"),
    ("contingency", "Contingency"),
    ("discount", "Discount"),
)
SUMMED = {"parts", "hours", "extras"}  # groups of several lines, which have a sum of their own


@dataclass(frozen=True)
class PrintedLine:
    """One line. `each` empty where a line has no unit price of its own."""

    label: str
    quantity: str
    each: str
    amount: str


@dataclass(frozen=True)
class LineGroup:
    """Lines under a heading; `total` empty where the group is one line."""

    label: str
    lines: tuple[PrintedLine, ...]
    total: str


@dataclass(frozen=True)
class Sum:
    """A row under the lines. `look` plain, tax or strong."""

    label: str
    amount: str
    look: str = "plain"


@dataclass(frozen=True)
class PriceBlock:
    """The whole price of an option.

    `sums` stand under the lines and add up to the total; `inside` is the tax contained in it where prices include tax.
    `rows` are the few figures beside the total on the first page.
    """

    currency: str
    total: str
    total_words: str
    deposit: str
    to_pay: str
    rows: tuple[Sum, ...]
    groups: tuple[LineGroup, ...]
    sums: tuple[Sum, ...]
    inside: tuple[Sum, ...]
    tax_note: str


def price_block(sheet: PriceSheet, policies: Policies, pen: Pen) -> PriceBlock:
    """The price as printed. Cost and margin are taken off first."""
    sheet = without_costs(sheet)
    included = sheet.tax_mode == "included"
    taxes = tuple(tax_row(share, pen) for share in sheet.taxes if share.amount or share.rates)
    lines_sum = () if included else (Sum("Before tax", pen.amount(sheet.net)),)
    total_words = "Total, tax included" if sheet.taxes else "Total"
    return PriceBlock(
        currency=sheet.currency,
        total=pen.money(sheet.total),
        total_words=total_words,
        deposit=pen.money(sheet.deposit),
        to_pay=pen.money(sheet.due),
        rows=_rows(sheet, pen),
        groups=_groups(sheet.lines, pen),
        sums=(
            *lines_sum,
            *(() if included else taxes),
            Sum(total_words, pen.amount(sheet.total), "strong"),
            *_allowance(sheet, pen),
        ),
        inside=(Sum("Without tax", pen.amount(sheet.net)), *taxes) if included else (),
        tax_note=_tax_note(sheet, policies, pen),
    )


def _rows(sheet: PriceSheet, pen: Pen) -> tuple[Sum, ...]:
    """The groups and the tax, which add up to the total; what is taken off it; the deposit."""
    groups = ((label, getattr(sheet, code)) for code, label in GROUPS)
    tax = "Tax in it" if sheet.tax_mode == "included" else "Tax"
    rows = [Sum(label, pen.money(amount)) for label, amount in groups if amount]
    rows.append(Sum(tax, pen.money(sheet.tax_total)))
    if sheet.allowance:
        rows.append(Sum(sheet.allowance_label or "Allowance", pen.money(-sheet.allowance)))
        rows.append(Sum("To pay", pen.money(sheet.due), "strong"))
    return (*rows, Sum("Deposit for a place", pen.money(sheet.deposit), "strong"))


def _groups(lines: tuple[PriceLine, ...], pen: Pen) -> tuple[LineGroup, ...]:
    found = []
    for code, label in GROUPS:
        mine = [line for line in lines if line.group == code]
        if mine:
            total = pen.amount(sum((line.amount for line in mine[1:]), mine[0].amount)) if code in SUMMED else ""
            found.append(LineGroup(label, tuple(_line(line, pen) for line in mine), total))
    return tuple(found)


def _line(line: PriceLine, pen: Pen) -> PrintedLine:
    counted = line.group in {"parts", "hours"}
    return PrintedLine(
        label=f"{line.label[:1].upper()}{line.label[1:]}",
        quantity=pen.quantity(line.quantity, line.unit) if counted else "",
        each=pen.amount(line.unit_price) if counted else "",
        amount=pen.amount(line.amount),
    )


def tax_row(share: TaxShare, pen: Pen) -> Sum:
    """ "Example State, 5 % on 14,023.45"."""
    rates = " and ".join(pen.percent(rate) for rate in share.rates)
    words = f"{share.authority}, {rates} on {pen.amount(share.taxable)}" if rates else share.authority
    return Sum(words, pen.amount(share.amount), "tax")


def _allowance(sheet: PriceSheet, pen: Pen) -> tuple[Sum, ...]:
    if not sheet.allowance:
        return ()
    label = sheet.allowance_label or "Allowance"
    return (Sum(label, pen.amount(-sheet.allowance)), Sum("To pay", pen.amount(sheet.due), "strong"))


def _tax_note(sheet: PriceSheet, policies: Policies, pen: Pen) -> str:
    """Where it is taxed and as of when; whether the customer is exempt."""
    if exempt_in_force(policies) and not any(share.rates for share in sheet.taxes):
        kind = f" ({policies.exempt_kind.lower()})" if policies.exempt_kind else ""
        return f"Exempt from tax by certificate {policies.exempt_certificate}{kind}."
    if sheet.tax_total is None:
        return f"Tax is not known yet: {', '.join(sheet.missing)}."
    return f"Taxed in {sheet.tax_place}, rates as of {pen.day(sheet.tax_as_of)}."
