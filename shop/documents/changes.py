"""What a version changes against the one offered before it: printed, so that nobody has to compare two quotes."""

from __future__ import annotations

from dataclasses import dataclass, replace

from quoting.price import LineChange, PriceDifference, ResultDifference, result_difference, without_costs
from quoting.result import OptionResult
from shop.documents.pen import HARD, Pen, mid_sentence
from shop.selectors.documents import EarlierVersion

KINDS = (("added", "Added"), ("changed", "Changed"), ("removed", "Removed"))
COUNTED = {"parts", "hours"}  # groups whose lines have a quantity and a price each, of which a change tells


@dataclass(frozen=True)
class Changes:
    """Against version `since`: sentences about the total and the finish, then lines added, changed and removed."""

    since: int
    sentences: tuple[str, ...]


def changes_of(earlier: EarlierVersion | None, result: OptionResult, pen: Pen, *, alone: bool) -> Changes | None:
    """Against the option of the same key, or the only one when this one is `alone`, too.

    None for a first version, an option the earlier one did not have, and when nothing changed.
    """
    before = _counterpart(earlier, result.key, alone) if earlier else None
    if earlier is None or before is None or before.price.currency != result.price.currency:
        return None
    difference = result_difference(_plain(before), _plain(result))
    sentences = (*_totals(difference, pen), *_lines(difference.price, pen), *difference.price.notes)
    return Changes(earlier.number, tuple(pen.own(text) for text in sentences)) if sentences else None


def _totals(difference: ResultDifference, pen: Pen) -> list[str]:
    total = next((item for item in difference.price.totals if item.label == "total" and item.amount), None)
    was, now = difference.finish_before, difference.finish_after
    told = [f"Total {pen.money(total.before)} before, {pen.money(total.after)} now."] if total else []
    if was and now and was != now:
        told.append(f"Finish {pen.window(*was)} before, {pen.window(*now)} now.")
    return told


def _lines(price: PriceDifference, pen: Pen) -> list[str]:
    """A sentence for each kind of change: "Added: hub motor +1,980.00; charger +385.00."."""
    told = []
    for kind, word in KINDS:
        changed = [_words(line, pen) for line in price.lines if line.change == kind]
        if changed:
            told.append(f"{word}: {'; '.join(changed)}.")
    return told


def _counterpart(earlier: EarlierVersion, key: str, alone: bool) -> OptionResult | None:
    options = earlier.result.options
    same = next((option for option in options if option.key == key), None)
    return options[0] if same is None and alone and len(options) == 1 else same


def _plain(result: OptionResult) -> OptionResult:
    return replace(result, price=without_costs(result.price))


def _words(line: LineChange, pen: Pen) -> str:
    sign = "+" if line.amount > 0 else ""
    how = f" ({pen.marks(', '.join(line.words))})" if line.words and line.group in COUNTED else ""
    return f"{mid_sentence(line.label)}{how}{HARD}{sign}{pen.amount(line.amount)}"
