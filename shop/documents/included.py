"""What is included, in the words of somebody who does not build bikes: a row each for drive, battery and the rest."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from quoting.parts import KINDS
from quoting.request import Option, PartLine, QuoteRequest
from quoting.result import Finding, OptionResult, PackFigures
from shop.documents.pen import Pen, mid_sentence

# FRAME takes every kind that none of these names.
FAMILIES = (
    ("Drive", ("motor", "controller", "final_drive", "throttle", "display")),
    ("Battery", ("cell", "module", "bms", "enclosure")),
    ("Charging", ("charger",)),
    ("Electrics", ("contactor", "fuse", "precharge", "cable", "connector", "switch", "dcdc", "lamp")),
)
FRAME = "Frame and road"
REVERSIBLE = "reversible"  # the finding that says what is cut
NOT_SAID = "Whether the frame is cut is not settled by the parts on this quote. Ask before work begins."
CONVERSION = "conversion"
MOST_NAMED = 10  # of one family; the rest is counted, and stands on the lines (our own choice)


@dataclass(frozen=True)
class IncludedRow:
    label: str
    words: str


def included_rows(request: QuoteRequest, option: Option, result: OptionResult, pen: Pen) -> tuple[IncludedRow, ...]:
    """Parts by family, work, extras; for a conversion whether it can go back, and what becomes of the engine."""
    named = {kind for _, kinds in FAMILIES for kind in kinds}
    families = (*FAMILIES, (FRAME, tuple(kind for kind in KINDS if kind not in named)))
    rows = [
        IncludedRow(label, words)
        for label, kinds in families
        if (words := _parts(option, kinds, result.pack if label == "Battery" else None, pen))
    ]
    rows += _row("Work", (step.label for step in option.steps if step.lead_days or _takes_time(result, step.code)))
    rows += _row("Also", (extra.label for extra in option.extras))
    if request.job == CONVERSION:
        rows.append(IncludedRow("Going back", pen.said(going_back(result.findings))))
        rows.append(IncludedRow("Old engine", _engine(result, pen)))
    return tuple(rows)


def going_back(findings: Iterable[Finding]) -> str:
    """Whether the conversion can be undone, as the adapters' specs say it."""
    return next((finding.explanation for finding in findings if finding.rule == REVERSIBLE), NOT_SAID)


def pack_words(pack: PackFigures | None, pen: Pen, *, full: bool = True) -> str:
    """ "20s24p, 8.64 kWh, 84.0 V full"; without `full` the voltage is left out."""
    if pack is None:
        return ""
    known = [f"{pack.series}s{pack.parallel}p"] if pack.series and pack.parallel else []
    known += [pen.energy(pack.energy_wh)] if pack.energy_wh is not None else []
    known += [f"{pen.volts(pack.full_v)} full"] if full and pack.full_v is not None else []
    return ", ".join(known)


def part_words(part: PartLine, pen: Pen) -> str:
    """ "hub motor", "480 × round cell", "3 m battery cable"."""
    name = mid_sentence(part.name)
    if part.quantity == Decimal(1) and part.unit == "piece":
        return name
    counted = pen.quantity(part.quantity, part.unit)
    return f"{counted} × {name}" if part.unit == "piece" else f"{counted} {name}"


def _parts(option: Option, kinds: tuple[str, ...], pack: PackFigures | None, pen: Pen) -> str:
    chosen = sorted((part for part in option.parts if part.kind in kinds), key=lambda part: kinds.index(part.kind))
    words = [part_words(part, pen) for part in chosen]
    if words and (summary := pack_words(pack, pen)):
        words.insert(0, f"pack {summary}")
    return _sentence(words)


def _takes_time(result: OptionResult, code: str) -> bool:
    return any(line.group == "hours" and line.code == code for line in result.price.lines)


def _row(label: str, words: Iterable[str]) -> list[IncludedRow]:
    text = _sentence([mid_sentence(word) for word in words])
    return [IncludedRow(label, text)] if text else []


def _sentence(words: list[str]) -> str:
    if len(words) > MOST_NAMED:
        words = [*words[: MOST_NAMED - 1], f"and {len(words) - MOST_NAMED + 1} more on the lines"]
    text = ", ".join(words)
    return f"{text[0].upper()}{text[1:]}." if text else ""


def _engine(result: OptionResult, pen: Pen) -> str:
    price = result.price
    if price.allowance:
        return f"{price.allowance_label or 'Allowance'}: {pen.money(price.allowance)} off what is paid."
    return "Nothing is credited for parts taken off. Say before work begins whether you want them back."
