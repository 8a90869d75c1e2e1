"""Which parts of a kind fit an option, so that the counter can offer those first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache

from quoting.errors import FieldProblem, RequestError, SpecError
from quoting.pack import pack_figures
from quoting.pack.build import build
from quoting.pack.unit import plan_of, unit_of
from quoting.parts import KINDS, Cell, Module, Part, spec_fields
from quoting.request import CatalogueItem, PartLine
from quoting.result import PackFigures, RideFigures, WeightFigures, WiringFigures
from quoting.rules.facts import Facts
from quoting.rules.registry import Gap, Outcome, Rule, all_rules, answer, applies, outcome
from quoting.rules.swap import PRECHARGED, STALE, STORES, best_first, exchanged, readable, tells_apart
from quoting.setup import Fitted, Setup
from quoting.wiring import short_circuit_a, wiring_figures

FITS = "fits"
RANKS = (FITS, "note", "check", "stop")
REASONS = 3  # reasons kept per part; the first is the one shown beside it
SUBJECTS = frozenset(
    {
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
    }
)
WEIGHED = ("tire", "brake")  # their rules stand under weight, and their own mass changes it little


@dataclass(frozen=True)
class Fit:
    """How a catalogue part suits an option: fits, note, check or stop; why, worst first; ids of the stops it clears."""

    code: str
    level: str
    reasons: tuple[str, ...] = ()
    clears: tuple[str, ...] = ()


def fitting(
    setup: Setup,
    kind: str,
    candidates: Sequence[CatalogueItem],
    *,
    pack: PackFigures | None = None,
    weight: WeightFigures | None = None,
    ride: RideFigures | None = None,
    wiring: WiringFigures | None = None,
    instead_of: PartLine | None = None,
) -> tuple[Fit, ...]:
    """Judge parts of a kind by every rule that can tell a good one from a bad one without riding it again.

    Parameters: `candidates` of that kind; figures of the option as it stands, pack and wiring worked out here when not
    given; `instead_of` the line to replace, else the first of its kind, or none for kinds that come several at a time.
    Returns: a Fit per candidate, fitting ones first, then those that clear more stops, on the shelf, cheapest.
    Raises: RequestError for an unknown kind or a candidate of another one.
    """
    strangers = [item.code for item in candidates if item.kind != kind]
    if kind not in KINDS or strangers:
        problem = f"has {', '.join(strangers)} of another kind." if strangers else f"kind '{kind}' is unknown."
        raise RequestError((FieldProblem("candidates", problem, f"Give parts of one kind of {', '.join(KINDS)}."),))
    pack = pack or pack_figures(setup)
    wiring = wiring or wiring_figures(setup, pack, ride)
    facts = Facts(setup=setup, pack=pack, weight=weight, ride=ride, wiring=wiring)
    line = instead_of
    if line is None and not KINDS[kind].several:
        first = facts.first("cell" if kind in STORES else kind)
        line = first.line if first else None
    before = _stops_now(facts, kind)
    judged = [(item, _judge(facts, item, line, before)) for item in candidates]
    judged.sort(key=lambda pair: (RANKS.index(pair[1].level), -len(pair[1].clears), best_first(pair[0])))
    return tuple(fit for _, fit in judged)


@cache
def _judges(kind: str) -> tuple[Rule, ...]:
    """The rules that tell parts of a kind apart, without those whose figures an exchange puts out of date."""
    stale = STALE.get(kind, frozenset()) - PRECHARGED
    return tuple(
        rule
        for rule in all_rules()
        if (rule.subject in SUBJECTS or (kind in WEIGHED and rule.subject == "weight"))
        and tells_apart(rule, kind)
        and rule.levels != ("note",)
        and not stale.intersection(rule.reads)
        and (kind != "controller" or not PRECHARGED.intersection(rule.reads))
    )


@cache
def _wanting(kind: str) -> tuple[Rule, ...]:
    """The rules that stop for want of a part of a kind, though they read none of it."""
    return tuple(
        rule for rule in all_rules() if kind in rule.kinds and "stop" in rule.levels and rule.id != "incomplete-build"
    )


def _stops_now(facts: Facts, kind: str) -> tuple[Rule, ...]:
    return tuple(rule for rule in _wanting(kind) if _stops(outcome(rule, facts)))


def _stops(heard: Outcome) -> bool:
    return any(said.level == "stop" for said, _ in heard.said)


def _judge(facts: Facts, item: CatalogueItem, line: PartLine | None, before: tuple[Rule, ...]) -> Fit:
    part = readable(item)
    if isinstance(part, SpecError):
        return Fit(item.code, "stop", (f"Its spec cannot be read: {part}",))
    tried, fitted = exchanged(facts, item, part, line)
    tried = _lightly_refreshed(tried, item.kind)
    found: list[tuple[int, str]] = []
    for rule in _judges(item.kind):
        if not applies(rule, tried):
            continue
        heard = answer(rule, tried, fitted) if rule.each == item.kind else outcome(rule, tried)
        found.extend((RANKS.index(said.level), said.text) for said, _ in heard.said)
        found.extend((RANKS.index("check"), text) for gap in heard.gaps if (text := _lack(gap, tried, fitted)))
    found.sort(key=lambda pair: -pair[0])
    clears = tuple(rule.id for rule in before if not _stops(outcome(rule, tried)))
    level = RANKS[found[0][0]] if found else FITS
    return Fit(item.code, level, tuple(dict.fromkeys(text for _, text in found))[:REASONS], clears)


def _lack(gap: Gap, tried: Facts, fitted: Fitted[Part]) -> str:
    """What the candidate itself does not say; empty when the gap is another part's."""
    if gap.item is fitted:
        fields = spec_fields(type(fitted.part))
        label = next((each.label.lower() for each in fields if each.name == gap.field), gap.field)
        return f"Not known: {label}."
    if gap.subject == "pack" and fitted.line.kind in STORES and tried.pack is not None:
        return f"Not known: {', '.join(tried.pack.missing) or gap.field}."
    return ""


def _lightly_refreshed(facts: Facts, kind: str) -> Facts:
    """Voltages and resistance of the pack for another cell; pre-charge figures for another pre-charge unit."""
    if kind == "precharge":
        return replace(facts, wiring=wiring_figures(facts.setup, facts.pack, facts.ride))
    if kind not in STORES:
        return facts
    return replace(facts, pack=bare_pack(facts.setup))


def bare_pack(setup: Setup) -> PackFigures | None:
    """The pack without load, fit or workings: what rules on voltage and current read. None without cells or plan."""
    plan = plan_of(setup)
    store: Fitted[Cell] | Fitted[Module] | None = setup.one(Cell) or setup.one(Module)
    if plan is None or store is None:
        return None
    unit = unit_of(store.part, store.line.name)
    built = build(setup, unit, plan)
    short_a = short_circuit_a(built.full_v, built.resistance_ohm) if built.full_v and built.resistance_ohm else None
    return PackFigures(
        series=plan.series,
        parallel=plan.parallel,
        cells=plan.series * plan.parallel,
        series_cells=built.series_cells,
        chemistry=unit.chemistry,
        nominal_v=built.nominal_v,
        full_v=built.full_v,
        empty_v=built.empty_v,
        capacity_ah=built.capacity_ah,
        energy_wh=built.energy_wh,
        resistance_ohm=built.resistance_ohm,
        mass_kg=built.mass_kg,
        short_circuit_a=short_a,
        missing=built.missing,
    )
