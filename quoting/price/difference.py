"""The printed difference between two versions of a quote: lines added, removed and changed, totals, and the finish."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from quoting.errors import FieldProblem, RequestError
from quoting.price.lines import percent
from quoting.result import OptionResult, PriceLine, PriceSheet, Promise

TOTALS = ("parts", "hours", "extras", "contingency", "discount", "net", "tax_total", "total", "allowance", "due")
LABELS = {"tax_total": "tax", "due": "due"}
COMPARED = ("label", "quantity", "unit", "unit_price", "tax_class")


@dataclass(frozen=True, kw_only=True)
class LineChange:
    """One line that is not as it was. `change` added, removed or changed; `amount` after less before [currency].

    `words` what changed on the line, such as "quantity 1 to 2"; empty for lines added or removed.
    """

    change: str
    group: str
    code: str
    label: str
    before: PriceLine | None
    after: PriceLine | None
    amount: Decimal
    words: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class TotalChange:
    """One total before and after [currency]; None: not known then, and the difference with it."""

    label: str
    before: Decimal | None
    after: Decimal | None
    amount: Decimal | None


@dataclass(frozen=True, kw_only=True)
class PriceDifference:
    """Lines in the order of the new sheet, removed ones last; totals that changed, and always the total and due."""

    currency: str
    lines: tuple[LineChange, ...]
    totals: tuple[TotalChange, ...]
    notes: tuple[str, ...]

    @property
    def is_empty(self) -> bool:
        """Whether nothing a customer pays for changed."""
        return not self.lines and not self.notes and all(total.amount == 0 for total in self.totals)


@dataclass(frozen=True, kw_only=True)
class ResultDifference:
    """Price and date: what a change order has to show. `later_days` finish_to after less before [calendar days]."""

    price: PriceDifference
    finish_before: tuple[date, date] | None
    finish_after: tuple[date, date] | None
    later_days: int | None
    findings_new: tuple[str, ...]
    findings_gone: tuple[str, ...]


def price_difference(before: PriceSheet, after: PriceSheet) -> PriceDifference:
    """What changed from one sheet to another.

    Parameters: `before`, `after` sheets in the same currency. Returns: the difference; the amounts of its lines add up
    to the change of the sum of the lines. Raises: RequestError when the currencies differ.
    """
    if before.currency != after.currency:
        text = f"{before.currency} cannot be compared with {after.currency}."
        raise RequestError((FieldProblem("currency", text, "Compare versions in one currency."),))
    totals = []
    for name in TOTALS:
        was, now = getattr(before, name), getattr(after, name)
        if was != now or name in ("total", "due"):
            amount = None if was is None or now is None else now - was
            totals.append(TotalChange(label=LABELS.get(name, name), before=was, after=now, amount=amount))
    return PriceDifference(
        currency=after.currency,
        lines=_line_changes(before.lines, after.lines),
        totals=tuple(totals),
        notes=_notes(before, after),
    )


def result_difference(before: OptionResult, after: OptionResult) -> ResultDifference:
    """What changed from one worked-out option to another: price, finish window, findings.

    Parameters: `before`, `after` results. Returns: the difference; findings are named by title.
    Raises: RequestError when the currencies differ.
    """
    was, now = _window(before.promise), _window(after.promise)
    titles_before = dict.fromkeys(finding.title for finding in before.findings)
    titles_after = dict.fromkeys(finding.title for finding in after.findings)
    return ResultDifference(
        price=price_difference(before.price, after.price),
        finish_before=was,
        finish_after=now,
        later_days=(now[1] - was[1]).days if was and now else None,
        findings_new=tuple(title for title in titles_after if title not in titles_before),
        findings_gone=tuple(title for title in titles_before if title not in titles_after),
    )


def _line_changes(before: Sequence[PriceLine], after: Sequence[PriceLine]) -> tuple[LineChange, ...]:
    """Lines that stayed as they are pair first, then those of the same group and code; the rest is new or gone."""
    left = list(before)
    partner: dict[int, PriceLine] = {}
    for same in (_alike, _related):
        for index, line in enumerate(after):
            if index not in partner and (found := next((old for old in left if same(old, line)), None)):
                partner[index] = found
                left.remove(found)
    changes = []
    for index, line in enumerate(after):
        old = partner.get(index)
        if old is None:
            changes.append(_change("added", line, None, line))
        elif not _alike(old, line):
            changes.append(_change("changed", line, old, line))
    changes.extend(_change("removed", old, old, None) for old in left)
    return tuple(changes)


def _alike(old: PriceLine, new: PriceLine) -> bool:
    """Whether a customer sees the same line."""
    return _related(old, new) and old.amount == new.amount and all(getattr(old, n) == getattr(new, n) for n in COMPARED)


def _related(old: PriceLine, new: PriceLine) -> bool:
    """Whether one line stands for the other: extras by kind and label, all else by code."""
    named = old.label == new.label or new.group != "extras"
    return old.group == new.group and old.code == new.code and named


def _change(change: str, shown: PriceLine, old: PriceLine | None, new: PriceLine | None) -> LineChange:
    words = []
    if old and new:
        for name in COMPARED:
            was, now = getattr(old, name), getattr(new, name)
            if was != now:
                words.append(f"{name.replace('_', ' ')} {_plain(was)} to {_plain(now)}")
    return LineChange(
        change=change,
        group=shown.group,
        code=shown.code,
        label=shown.label,
        before=old,
        after=new,
        amount=(new.amount if new else Decimal(0)) - (old.amount if old else Decimal(0)),
        words=tuple(words),
    )


def _plain(value: Decimal | str) -> str:
    if isinstance(value, Decimal):
        return f"{value:f}"
    return value.replace("_", " ") or "none"


def _notes(before: PriceSheet, after: PriceSheet) -> tuple[str, ...]:
    """Changes of the terms the totals rest on, in words."""
    notes = []
    if before.tax_place != after.tax_place:
        notes.append(f"Tax place {before.tax_place or 'none'} to {after.tax_place or 'none'}.")
    if before.tax_mode != after.tax_mode:
        notes.append(f"Tax {before.tax_mode} to {after.tax_mode}.")
    rates_before = {share.authority: share.rates for share in before.taxes}
    for share in after.taxes:
        was = rates_before.get(share.authority)
        if was and share.rates and was != share.rates:
            old, new = (", ".join(percent(rate) for rate in rates) for rates in (was, share.rates))
            notes.append(f"{share.authority} rate {old} to {new}.")
    return tuple(notes)


def _window(promise: Promise | None) -> tuple[date, date] | None:
    if promise is None or promise.finish_from is None or promise.finish_to is None:
        return None
    return promise.finish_from, promise.finish_to
