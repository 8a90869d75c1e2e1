"""What the shop looked at and decided, where the customer has to know it.

Findings about the desk (margins, stale prices, lead times) and about parts the customer cannot judge stay inside.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from quoting.result import Finding, OptionResult
from quoting.rules import NOT_CHECKED, all_rules
from shop.documents.pen import Pen
from shop.selectors.document_facts import Decided

TOLD_SUBJECTS = {"wishes", "law", "donor"}
TOLD_RULES = {
    "brakes-and-weight",
    "charge-inhibit-missing",
    "charging-below-cell-cold-limit",
    "donor-system-voltage",
    "enclosure-not-sealed",
    "front-share-shift",
    "incomplete-build",
    "pair-not-run-before",
    "side-stand-missing",
    "wall-circuit-overloaded",
}
TOLD = TOLD_RULES | {rule.id for rule in all_rules() if rule.subject in TOLD_SUBJECTS}
UNCHECKED = {"ride": "the ride", "weight": "the weights", "charge": "charging", "pack": "the battery"}  # as printed
DONOR = "donor"
NOTES_TOLD = {"wish-range"}  # a wish that is met only on a good day


@dataclass(frozen=True)
class Note:
    """`decision` empty where there was nothing to decide."""

    title: str
    text: str
    decision: str


def notes_of(result: OptionResult, decisions: Iterable[Decided], pen: Pen) -> tuple[Note, ...]:
    """In rule order; one note for each finding."""
    reasons = {item.rule: item.reason for item in decisions if item.option == result.key}
    return tuple(_note(finding, reasons, pen) for finding in result.findings if _told(finding))


def _told(finding: Finding) -> bool:
    if finding.rule == NOT_CHECKED:
        return _unchecked(finding) is not None
    return finding.rule in NOTES_TOLD or (finding.level == "check" and finding.rule in TOLD)


def _note(finding: Finding, reasons: dict[str, str], pen: Pen) -> Note:
    decision = reasons.get(finding.rule, "").strip().rstrip(".")
    title, text = _unchecked(finding) or (finding.title, finding.explanation)
    return Note(pen.said(title), pen.said(text), decision)


def _unchecked(finding: Finding) -> tuple[str, str] | None:
    """Title and text for what is not known about the bike; None where only the desk's or a part's data are missing.

    The finding's own words name rules, and may say that the margin is not known.
    """
    if finding.rule != NOT_CHECKED:
        return None
    subjects = dict.fromkeys(name.partition(".")[0] for name in finding.missing)
    figures = [UNCHECKED[subject] for subject in subjects if subject in UNCHECKED]
    if figures:
        return "Not worked out in full", f"Something is not known yet about {' and '.join(figures)}."
    if DONOR in subjects:
        return "Not checked against the bike", f"{finding.explanation.partition(', so ')[0]}."
    return None
