"""The change order as a document: what changes against what was agreed, price and date, for both to sign.

From the frozen request and result of both versions, and what was kept when it was offered.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC
from decimal import Decimal

from quoting.price import LineChange, PriceDifference, TotalChange
from shop.documents.columns import Columns, PrintItem, print_columns
from shop.documents.pen import Pen
from shop.documents.quote import Head, bike_rows, head_of
from shop.documents.scan import ScanCode, scan_code
from shop.models import ChangeOrder
from shop.selectors.change_page import ChangeEffect, effect_of
from shop.selectors.documents import IssuedQuote, issued_quote

CLOSING_LINE = 60  # characters a line in two columns (counted on a page)
WORDS = {"added": "Added", "changed": "Changed", "removed": "Taken off"}
COUNTED = {"parts", "hours"}
SHOWN_TOTALS = {"net": "Before tax", "tax": "Tax", "total": "Total, tax included", "allowance": "Allowance"}
TERMS = (
    ("Agreement", "the change is made once both have signed. Until then the build goes on as agreed before."),
    (
        "What stays",
        "everything that is not listed here stays as agreed in {base}: terms, cautions and deposits taken. Work that "
        "has begun and parts at the bench stay.",
    ),
    (
        "Finish",
        "worked out with the hours and parts of the change. Until both have signed, builds that are agreed meanwhile "
        "can move it.",
    ),
    ("Price", "holds until {valid}."),
    (
        "Tax",
        "shown at the rates known on {day}, charged at the rates on the date of supply; the tax authority decides.",
    ),
)


@dataclass(frozen=True)
class ChangeRow:
    """One line that is not as it was. `how` what changed on it; amounts empty where there is none."""

    what: str
    label: str
    how: str
    before: str
    after: str
    difference: str


@dataclass(frozen=True)
class ChangeDocument:
    """`signed` who agreed when, once both have; before that the lines to sign are printed."""

    head: Head
    number: str
    about: tuple[tuple[str, str], ...]
    bike: tuple[tuple[str, str], ...]
    reason: str
    currency: str
    heading: str
    difference: str
    sums: tuple[tuple[str, str, str], ...]
    window: str
    window_words: str
    finish: tuple[tuple[str, str], ...]
    rows: tuple[ChangeRow, ...]
    totals: tuple[ChangeRow, ...]
    notes: tuple[str, ...]
    closing: Columns
    code: ScanCode
    signed: tuple[str, ...]
    payers: tuple[str, ...]


def change_document(change: ChangeOrder) -> ChangeDocument:
    """Raises QuoteVersion.DoesNotExist for a draft: nothing is fixed in it yet."""
    issued = issued_quote(change.version)
    effect = effect_of(change)
    facts = issued.facts
    pen = Pen(facts.letterhead.locale, issued.request.currency, issued.request.units)
    price = effect.difference.price
    return ChangeDocument(
        head=head_of(
            facts.letterhead,
            facts.addressee,
            title=f"Change order {change}, {facts.letterhead.name}",
            ref=f"{change}, {change.version}",
            made_at=issued.offered_at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"),
        ),
        number=change.number,
        about=(
            ("To build", change.build.number),
            ("Date", pen.day(issued.request.day)),
            ("Valid until", pen.day(issued.valid_until)),
        ),
        bike=bike_rows(issued.request.donor, pen)[:2],
        reason=change.reason,
        currency=price.currency,
        heading="What it takes off the price" if effect.due_change < 0 else "What it adds to the price",
        difference=_signed(effect.due_change, pen, money=True),
        sums=_sums(effect, pen),
        window=pen.window(*effect.window),
        window_words=_window_words(effect),
        finish=_finish(effect, pen),
        rows=tuple(_row(line, pen) for line in price.lines),
        totals=_totals(price, pen),
        notes=tuple(pen.own(note) for note in price.notes),
        closing=print_columns((("Terms of the change", _terms(change, issued, pen)),), 2, CLOSING_LINE),
        code=scan_code(change.build.link_token, f"build {change.build}"),
        signed=_signed_by(change, facts.letterhead.name, pen),
        payers=tuple(name for name in (facts.addressee.name, change.other_payer) if name),
    )


def _sums(effect: ChangeEffect, pen: Pen) -> tuple[tuple[str, str, str], ...]:
    rows = [
        ("Agreed so far, to pay", pen.money(effect.base.result.price.due), "plain"),
        ("With the change, to pay", pen.money(effect.result.price.due), "strong"),
    ]
    if effect.hours_change:
        sign = "+" if effect.hours_change > 0 else ""
        rows.append(("Hours", f"{sign}{pen.quantity(effect.hours_change, 'h')}", "plain"))
    if effect.deposit:
        rows.append(("Further deposit", pen.money(effect.deposit), "strong"))
    return tuple(rows)


def _finish(effect: ChangeEffect, pen: Pen) -> tuple[tuple[str, str], ...]:
    promised = pen.window(*effect.promised) if effect.promised[0] else "none given"
    rows = [("Promised so far", promised)]
    if effect.without[0] and effect.without != effect.promised:
        rows.append(("Expected without the change", pen.window(*effect.without)))
    return tuple(rows)


def _window_words(effect: ChangeEffect) -> str:
    days = effect.later_days
    if not days:
        return "The promise stays."
    told = f"{_days(abs(days))} {'later' if days > 0 else 'earlier'} than promised"
    own = effect.own_days
    if own is None or not 0 <= own < days:
        return f"{told}."
    return f"{told}, {_days(own) if own else 'none'} of them for the change."


def _days(count: int) -> str:
    return f"{count} day{'' if count == 1 else 's'}"


def _row(line: LineChange, pen: Pen) -> ChangeRow:
    how = pen.marks("; ".join(line.words)) if line.words and line.group in COUNTED else ""
    return ChangeRow(
        what=WORDS[line.change],
        label=f"{line.label[:1].upper()}{line.label[1:]}",
        how=how or (_count(line, pen) if line.group in COUNTED else ""),
        before=pen.amount(line.before.amount) if line.before else "",
        after=pen.amount(line.after.amount) if line.after else "",
        difference=_signed(line.amount, pen),
    )


def _count(line: LineChange, pen: Pen) -> str:
    shown = line.after or line.before
    return pen.quantity(shown.quantity, shown.unit) if shown and (shown.quantity != 1 or shown.unit != "piece") else ""


def _totals(price: PriceDifference, pen: Pen) -> tuple[ChangeRow, ...]:
    return tuple(
        ChangeRow(
            "", SHOWN_TOTALS[total.label], "", _amount(total, "before", pen), _amount(total, "after", pen), change
        )
        for total in price.totals
        if total.label in SHOWN_TOTALS
        for change in [_signed(total.amount, pen) if total.amount is not None else ""]
    )


def _amount(total: TotalChange, name: str, pen: Pen) -> str:
    return pen.amount(getattr(total, name))


def _signed(amount: Decimal, pen: Pen, *, money: bool = False) -> str:
    write = pen.money if money else pen.amount
    sign = "+" if amount > 0 else ""
    return f"{sign}{write(amount)}"


def _terms(change: ChangeOrder, issued: IssuedQuote, pen: Pen) -> tuple[PrintItem, ...]:
    words = {"base": str(change.base), "valid": pen.day(issued.valid_until), "day": pen.day(issued.request.day)}
    return tuple(PrintItem(pen.own(text.format(**words)), title) for title, text in TERMS)


def _signed_by(change: ChangeOrder, shop_name: str, pen: Pen) -> tuple[str, ...]:
    if change.accepted_at is None or change.accepted_by is None:
        return ()
    who = " and ".join(name for name in (change.agreed_by, change.other_payer) if name)
    how = change.get_agreed_how_display().lower()
    shop = change.accepted_by.get_full_name() or change.accepted_by.get_username()
    return (
        f"{who}, {how}, {pen.day(change.agreed_on)}.",
        f"{shop} for {shop_name}, entered {pen.day(change.accepted_at.date())}.",
    )
