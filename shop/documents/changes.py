"""What a version changes against the one offered before it: printed, so that nobody has to compare two quotes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

from quoting.price import result_difference, without_costs
from quoting.result import OptionResult
from shop.documents.pen import Pen
from shop.selectors.documents import EarlierVersion

SIGNS = {"added": "Added", "removed": "Removed", "changed": "Changed"}


@dataclass(frozen=True)
class ChangedLine:
    label: str
    amount: str


@dataclass(frozen=True)
class Changes:
    """Against version `since`; `total` and `finish` say from what to what, empty where they stay."""

    since: int
    lines: tuple[ChangedLine, ...]
    total: str
    finish: str


def changes_of(earlier: EarlierVersion | None, result: OptionResult, pen: Pen) -> Changes | None:
    """None for a first version, an option the earlier one did not have, and when nothing changed."""
    before = next((item for item in earlier.result.options if item.key == result.key), None) if earlier else None
    if earlier is None or before is None or before.price.currency != result.price.currency:
        return None
    difference = result_difference(_plain(before), _plain(result))
    price = difference.price
    lines = [
        ChangedLine(_words(SIGNS[line.change], line.label, line.words, pen), _signed(line.amount, pen))
        for line in price.lines
    ]
    lines += [ChangedLine(pen.own(note), "") for note in price.notes]
    total = next((item for item in price.totals if item.label == "total"), None)
    moved = total is not None and bool(total.amount)
    was, now = difference.finish_before, difference.finish_after
    changes = Changes(
        since=earlier.number,
        lines=tuple(lines),
        total=f"{pen.money(total.before)} to {pen.money(total.after)}" if total and moved else "",
        finish=f"{pen.window(*was)} to {pen.window(*now)}" if was and now and was != now else "",
    )
    return changes if changes.lines or changes.total or changes.finish else None


def _plain(result: OptionResult) -> OptionResult:
    return replace(result, price=without_costs(result.price))


def _words(sign: str, label: str, words: tuple[str, ...], pen: Pen) -> str:
    how = f" ({pen.marks(', '.join(words))})" if words else ""
    return pen.own(f"{sign}: {label}{how}")


def _signed(amount: Decimal, pen: Pen) -> str:
    return f"+{pen.amount(amount)}" if amount > 0 else pen.amount(amount)
