"""Ask every rule and make findings of what they say, with one finding for all that a component's spec lacks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from quoting.parts import KINDS, Part, spec_fields
from quoting.result import LEVELS, Finding, WayOut
from quoting.rules.facts import FIGURES, Facts
from quoting.rules.registry import Gap, Rule, all_rules, outcome
from quoting.rules.said import Asked, Said
from quoting.setup import Fitted

NOT_CHECKED = "not-checked"
NOTHING_PASSES = (WayOut(kind="act", text="No part in the catalogue would pass: find one that does and add it"),)
DONOR_WORDS = {
    "gvwr_kg": "gross weight on the plate (GVWR)",
    "gawr_front_kg": "front axle rating on the plate",
    "gawr_rear_kg": "rear axle rating on the plate",
    "dropout_mm": "dropout width",
    "axle_mm": "axle diameter",
    "frame_kind": "frame kind",
    "brake_side": "rear brake side",
    "brake_rated_kg": "laden mass the brakes are rated for",
    "rear_rim_inch": "rear rim size",
    "chain_pitch": "chain pitch",
    "system_v": "voltage of its electrical system",
    "engine_kw": "power of the petrol engine",
    "kerb_kg": "kerb mass",
}
FIGURE_WORDS = {
    "pack": "the pack",
    "weight": "the weight",
    "ride": "the ride",
    "wiring": "the wiring",
    "charge": "charging",
    "price": "the price",
    "promise": "the finish date",
}


@dataclass(frozen=True)
class Examined:
    """Everything the rules found, in order, and how many rules could be judged and how many could not."""

    findings: tuple[Finding, ...]
    judged: int
    not_judged: int


def examine(facts: Facts) -> Examined:
    """Ask every rule about one option.

    Returns: findings, stops first, then checks, then notes, in rule order within a level; what could not be checked
    closes the checks. `judged` counts the rules that applied and had all they read. Raises nothing.
    """
    found: list[Finding] = []
    gaps: list[Gap] = []
    judged = 0
    for rule in all_rules():
        answer = outcome(rule, facts)
        judged += answer.applied and not answer.gaps
        gaps.extend(answer.gaps)
        found.extend(finding_of(rule, said, item, facts) for said, item in answer.said)
    found.extend(_not_checked(gaps, facts))
    found.sort(key=lambda finding: LEVELS.index(finding.level))
    return Examined(tuple(found), judged, len({gap.rule for gap in gaps}))


def check(facts: Facts) -> tuple[Finding, ...]:
    """The findings of one option: stops first, then checks, then notes, in rule order within a level."""
    return examine(facts).findings


def rules_applied(facts: Facts) -> int:
    """How many rules applied to the option and had all they read; those that lacked a spec are not counted."""
    answers = (outcome(rule, facts) for rule in all_rules())
    return sum(answer.applied and not answer.gaps for answer in answers)


def finding_of(rule: Rule, said: Said, item: Fitted[Part] | None, facts: Facts) -> Finding:
    """A rule's word as a finding, its ways out worked out."""
    asked = Asked(facts, rule.id, item)
    ways_out = tuple(way_out for way in said.ways for way_out in way(asked))
    return Finding(
        rule=rule.id,
        level=said.level,
        title=rule.title,
        explanation=said.text,
        value=said.value,
        limit=said.limit,
        margin=said.margin,
        unit=said.unit,
        ways_out=ways_out or (NOTHING_PASSES if said.ways else ()),
        source=rule.source,
        kinds=rule.kinds,
    )


def _not_checked(gaps: Iterable[Gap], facts: Facts) -> list[Finding]:
    """One finding per component, donor, or all figures together: which specs are missing, and which rules wait."""
    by_owner: dict[str, list[Gap]] = {}
    for gap in gaps:
        by_owner.setdefault(_owner(gap), []).append(gap)
    return [_lacking(owner, lacks, facts) for owner, lacks in by_owner.items()]


def _owner(gap: Gap) -> str:
    if gap.item is not None:
        return f"{KINDS[gap.item.line.kind].label} {gap.item.line.name}"
    return "Figures" if gap.subject in FIGURES else gap.subject.capitalize()


def _lacking(owner: str, gaps: list[Gap], facts: Facts) -> Finding:
    waiting = tuple(dict.fromkeys(gap.rule for gap in gaps))
    missing = tuple(dict.fromkeys(f"{_kind(gap)}.{gap.field}" for gap in gaps))
    if owner == "Figures":
        subjects = tuple(dict.fromkeys(gap.subject for gap in gaps))
        words = tuple(dict.fromkeys(word for name in subjects for word in _missing_of(facts, name)))
        first = f"{' and '.join(FIGURE_WORDS[name] for name in subjects)} could not be worked out in full".capitalize()
        remedy = f"Fill in {', '.join(words)}." if words else "Fill in what those figures are made from."
    else:
        labels = tuple(dict.fromkeys(_label(gap) for gap in gaps))
        first = f"{owner} has no {', no '.join(labels)}"
        remedy = f"Fill in {', '.join(labels)}."
    rules = f"{len(waiting)} rule{'s' if len(waiting) > 1 else ''} could not be checked: {', '.join(waiting)}"
    return Finding(
        rule=NOT_CHECKED,
        level="check",
        title=f"Not checked: {owner}",
        explanation=f"{first}, so {rules}. What is not known is never taken as good.",
        ways_out=(WayOut(kind="act", text=remedy),),
        source="shop rule: a missing spec is never a pass",
        kinds=tuple(dict.fromkeys(_kind(gap) for gap in gaps if gap.item is not None)),
        missing=missing,
    )


def _kind(gap: Gap) -> str:
    return gap.item.line.kind if gap.item is not None else gap.subject


def _label(gap: Gap) -> str:
    if gap.item is not None:
        part_type = type(gap.item.part)
        return next(field.label for field in spec_fields(part_type) if field.name == gap.field).lower()
    return DONOR_WORDS.get(gap.field, gap.field.replace("_", " "))


def _missing_of(facts: Facts, name: str) -> tuple[str, ...]:
    figures = facts.subject(name)
    words: tuple[str, ...] = getattr(figures, "missing", ())
    return words
