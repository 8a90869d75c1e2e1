"""The list of rules, and the one place where a missing spec becomes a finding instead of a pass."""

from __future__ import annotations

import dataclasses
import inspect
from collections.abc import Callable
from dataclasses import dataclass

from quoting.parts import KINDS, Part
from quoting.request import Donor, Policies, Wishes
from quoting.result import (
    LEVELS,
    ChargeFigures,
    PackFigures,
    PriceSheet,
    Promise,
    RideFigures,
    WeightFigures,
    WiringFigures,
)
from quoting.rules.facts import Facts
from quoting.rules.said import Lacks, Said, Says
from quoting.setup import Fitted

JOBS = ("conversion", "pack_upgrade", "parts_kit", "service")
BUILDS = ("conversion", "pack_upgrade")
READABLE: dict[str, type] = {
    **{code: kind.part_type for code, kind in KINDS.items()},
    "pack": PackFigures,
    "weight": WeightFigures,
    "ride": RideFigures,
    "wiring": WiringFigures,
    "charge": ChargeFigures,
    "price": PriceSheet,
    "promise": Promise,
    "donor": Donor,
    "wishes": Wishes,
    "policies": Policies,
}
Read = tuple[str, str]
Applies = Callable[[Facts, Fitted[Part] | None], bool]


@dataclass(frozen=True, kw_only=True)
class Rule:
    """One rule. `reads` are the specs and figures it cannot do without, as (subject, field); `kinds` the kinds of
    component it speaks about; `when` the kinds that must be on the option; `each` the kind it is asked for line by
    line; `where` a further condition; `jobs` the kinds of job it applies to; `what` one line on what it holds.
    """

    id: str
    subject: str
    title: str
    what: str
    levels: tuple[str, ...]
    source: str
    reads: tuple[Read, ...]
    kinds: tuple[str, ...]
    when: tuple[str, ...]
    each: str
    where: Applies | None
    jobs: tuple[str, ...]
    function: Callable[..., Says]


@dataclass(frozen=True)
class Gap:
    """A spec a rule could not do without: whose (a subject, and the line if it is a part), and which field."""

    rule: str
    subject: str
    item: Fitted[Part] | None
    field: str


@dataclass(frozen=True)
class Outcome:
    """What became of one rule: what it said and about which line, what it lacked, and whether it applied at all."""

    said: tuple[tuple[Said, Fitted[Part] | None], ...] = ()
    gaps: tuple[Gap, ...] = ()
    applied: bool = True


SILENT = Outcome(applied=False)
_RULES: dict[str, Rule] = {}


def rule(
    id: str,
    subject: str,
    *,
    title: str,
    levels: tuple[str, ...],
    source: str,
    reads: tuple[str, ...] = (),
    when: tuple[str, ...] = (),
    each: str = "",
    where: Applies | None = None,
    about: tuple[str, ...] = (),
    jobs: tuple[str, ...] = JOBS,
) -> Callable[[Callable[..., Says]], Callable[..., Says]]:
    """Enter a function in the list of rules; its docstring's first line says what it holds.

    The function gets the facts, the line when it is asked for `each` line of a kind, and then the value of every
    read, in order; none of them is ever None. Raises TypeError for a read that is no field, or an entry that is
    not whole, so that a wrong rule fails when the package is imported.
    """

    def enter(function: Callable[..., Says]) -> Callable[..., Says]:
        pairs = tuple(_read(id, text) for text in reads)
        lines = inspect.getdoc(function) or ""
        wanted = 1 + bool(each) + len(pairs)
        problems = [
            (id in _RULES, "its id is taken"),
            (not lines, "it has no docstring"),
            (not set(levels) <= set(LEVELS) or not levels, "its levels are not known"),
            (not source, "it names no source"),
            (len(inspect.signature(function).parameters) != wanted, f"it must take {wanted} arguments"),
        ]
        if wrong := "; ".join(problem for found, problem in problems if found):
            raise TypeError(f"rule {id}: {wrong}")
        subjects = (*(name for name, _ in pairs), *when, each, *about)
        _RULES[id] = Rule(
            id=id,
            subject=subject,
            title=title,
            what=lines.splitlines()[0],
            levels=levels,
            source=source,
            reads=pairs,
            kinds=tuple(code for code in KINDS if code in subjects),
            when=when,
            each=each,
            where=where,
            jobs=jobs,
            function=function,
        )
        return function

    return enter


def all_rules() -> tuple[Rule, ...]:
    """Every rule, in order."""
    return tuple(_RULES.values())


def rule_called(id: str) -> Rule:
    """The rule of an id. Raises KeyError."""
    return _RULES[id]


def outcome(rule: Rule, facts: Facts) -> Outcome:
    """Ask one rule. A rule that does not apply is silent; one that lacks a spec says which."""
    if facts.setup.job not in rule.jobs:
        return SILENT
    for kind in rule.when:
        if not facts.of(kind):
            return SILENT
    if not rule.each:
        return _ask(rule, facts, None)
    answers = [_ask(rule, facts, item) for item in facts.of(rule.each)]
    return Outcome(
        tuple(said for answer in answers for said in answer.said),
        tuple(gap for answer in answers for gap in answer.gaps),
        any(answer.applied for answer in answers),
    )


def _ask(rule: Rule, facts: Facts, item: Fitted[Part] | None) -> Outcome:
    if rule.where is not None and not rule.where(facts, item):
        return SILENT
    values: list[object] = [facts] if item is None else [facts, item]
    gaps: list[Gap] = []
    for subject, field in rule.reads:
        owner = item.part if item is not None and subject == rule.each else facts.subject(subject)
        if owner is None:
            return SILENT
        value = getattr(owner, field)
        if value is None:
            if subject == "wishes":
                return SILENT
            gaps.append(_gap(rule, facts, item, subject, field))
        values.append(value)
    if gaps:
        return Outcome(gaps=tuple(gaps))
    says = rule.function(*values)
    if says is None:
        return Outcome()
    if isinstance(says, Lacks):
        return Outcome(gaps=(_gap(rule, facts, item, says.subject, says.field),))
    return Outcome(tuple((said, item) for said in (says if isinstance(says, tuple) else (says,))))


def _gap(rule: Rule, facts: Facts, item: Fitted[Part] | None, subject: str, field: str) -> Gap:
    named = item if subject == rule.each else facts.first(subject) if subject in KINDS else None
    return Gap(rule.id, subject, named, field)


def _read(rule_id: str, text: str) -> Read:
    subject, _, field = text.partition(".")
    known = {item.name for item in dataclasses.fields(READABLE[subject])} if subject in READABLE else set()
    if subject == "cell":  # may turn out to be a module
        known &= {item.name for item in dataclasses.fields(READABLE["module"])}
    if field not in known:
        raise TypeError(f"rule {rule_id}: '{text}' is no field that can be read")
    return subject, field
