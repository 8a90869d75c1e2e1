"""The list of rules, and the one place where a missing spec becomes a finding instead of a pass."""

from __future__ import annotations

import dataclasses
import inspect
from collections.abc import Callable
from dataclasses import dataclass

from quoting.parts import KINDS, Part
from quoting.request import CountrySheet, Donor, Policies, Wishes
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
# In the order in which findings of one level are listed: what burns first, what is only paper last.
SUBJECTS = (
    "build",
    "voltage",
    "cut-offs",
    "regeneration",
    "current",
    "fuse",
    "cables",
    "contactor",
    "charging",
    "throttle",
    "interfaces",
    "low voltage",
    "frame",
    "hub motor",
    "chain drive",
    "wheels",
    "weight",
    "wishes",
    "law",
    "donor",
    "desk",
)
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
    "country": CountrySheet,
}
MAY_BE_EMPTY = ("wishes", "country")  # nothing wished for, nothing limited there: not a gap
Read = tuple[str, str]
Applies = Callable[[Facts, Fitted[Part] | None], bool]


@dataclass(frozen=True, kw_only=True)
class Rule:
    """One rule.

    `reads` are the specs and figures it cannot do without, as (subject, field); `may_read` specs of parts it looks at
    in some cases; `kinds` the kinds of part it speaks about, `judges` those of which it can tell a good one from a bad
    one; `when` the kinds that must be on the option; `each` the kind it is asked for line by line; `where` a further
    condition; `jobs` the kinds of job it applies to; `what` one line on what it holds.
    """

    id: str
    subject: str
    title: str
    what: str
    levels: tuple[str, ...]
    source: str
    reads: tuple[Read, ...]
    may_read: tuple[Read, ...]
    kinds: tuple[str, ...]
    judges: frozenset[str]
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
HEARD = Outcome()
UNKNOWN_AT_ZERO = frozenset({("pack", "series_cells"), ("pack", "series"), ("pack", "parallel"), ("pack", "cells")})
_RULES: dict[str, Rule] = {}
_ORDERED: list[Rule] = []


def rule(
    id: str,
    subject: str,
    *,
    title: str,
    levels: tuple[str, ...],
    source: str,
    reads: tuple[str, ...] = (),
    may_read: tuple[str, ...] = (),
    when: tuple[str, ...] = (),
    each: str = "",
    where: Applies | None = None,
    about: tuple[str, ...] = (),
    judges: tuple[str, ...] = (),
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
            (subject not in SUBJECTS, "its subject is not known"),
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
            may_read=tuple(_read(id, text) for text in may_read),
            kinds=tuple(code for code in KINDS if code in subjects),
            judges=frozenset((each, *judges, *(name for name, _ in pairs))) & KINDS.keys(),
            when=when,
            each=each,
            where=where,
            jobs=jobs,
            function=function,
        )
        return function

    return enter


def all_rules() -> tuple[Rule, ...]:
    """Every rule, by subject in the order of SUBJECTS, then as written."""
    if len(_ORDERED) != len(_RULES):
        _ORDERED[:] = sorted(_RULES.values(), key=lambda entry: SUBJECTS.index(entry.subject))
    return tuple(_ORDERED)


def rule_called(id: str) -> Rule:
    """The rule of an id. Raises KeyError."""
    return _RULES[id]


def outcome(rule: Rule, facts: Facts) -> Outcome:
    """Ask one rule. A rule that does not apply is silent; one that lacks a spec says which."""
    if not applies(rule, facts):
        return SILENT
    if not rule.each:
        return answer(rule, facts, None)
    answers = [answer(rule, facts, item) for item in facts.of(rule.each)]
    return Outcome(
        tuple(said for each in answers for said in each.said),
        tuple(gap for each in answers for gap in each.gaps),
        any(each.applied for each in answers),
    )


def applies(rule: Rule, facts: Facts) -> bool:
    """Whether the job is one of the rule's and the kinds it needs are on the option."""
    return facts.setup.job in rule.jobs and all(facts.of(kind) for kind in rule.when)


def answer(rule: Rule, facts: Facts, item: Fitted[Part] | None) -> Outcome:
    """Ask a rule that applies about the option, or about one line of the kind it is asked for `each` of."""
    if rule.where is not None and not rule.where(facts, item):
        return SILENT
    values: list[object] = [facts] if item is None else [facts, item]
    gaps: list[Gap] = []
    for subject, field in rule.reads:
        owner = item.part if item is not None and subject == rule.each else facts.subject(subject)
        if owner is None:
            return SILENT
        value = getattr(owner, field)
        if value is None or (value == 0 and (subject, field) in UNKNOWN_AT_ZERO):
            if subject in MAY_BE_EMPTY:
                return SILENT
            gaps.append(_gap(rule, facts, item, subject, field))
        values.append(value)
    if gaps:
        return Outcome(gaps=tuple(gaps))
    says = rule.function(*values)
    if says is None:
        return HEARD
    each = says if isinstance(says, tuple) else (says,)
    return Outcome(
        tuple((word, item) for word in each if isinstance(word, Said)),
        tuple(
            _gap(rule, facts, word.item or item, word.subject, word.field) for word in each if isinstance(word, Lacks)
        ),
    )


def _gap(rule: Rule, facts: Facts, item: Fitted[Part] | None, subject: str, field: str) -> Gap:
    named = facts.first(subject) if subject in KINDS else None
    if item is not None and item.line.kind == subject:
        named = item
    return Gap(rule.id, subject, named, field)


def _read(rule_id: str, text: str) -> Read:
    subject, _, field = text.partition(".")
    known = {item.name for item in dataclasses.fields(READABLE[subject])} if subject in READABLE else set()
    if subject == "cell":  # may turn out to be a module
        known &= {item.name for item in dataclasses.fields(READABLE["module"])}
    if field not in known:
        raise TypeError(f"rule {rule_id}: '{text}' is no field that can be read")
    return subject, field
