"""On which choices each rule's word depends, read from what the rule says it reads.

A rule that reads only part specs, or figures made of a few choices, can be asked as soon as those are chosen, long
before the set is whole. A rule that reads anything else (weight, ride, price, fit) is asked of whole sets only: such a
rule is `wide`. Being asked too late costs time, never a set; tests/quoting/finder holds the early answers against
quote() over whole catalogues.
"""

from __future__ import annotations

from collections.abc import Iterable

from quoting.finder.question import STORES, Slot
from quoting.parts import KINDS
from quoting.rules import Rule, all_rules

# The four columns of a set that are not slots: which cells or modules, how many in series, how many in parallel.
STORE, SERIES, PARALLEL = "store", "series", "parallel"
PACK = (STORE, SERIES, PARALLEL)
GIVEN = frozenset({"donor", "wishes", "policies", "country"})
# Figures that are made of a few choices. Kinds stand for the slots that bring them. Source: quoting.pack.build, .sag,
# .limits; quoting.wiring.steady and .figures.
FIGURE_OF = {
    ("pack", "chemistry"): (STORE,),
    ("pack", "series"): (SERIES,),
    ("pack", "parallel"): (PARALLEL,),
    ("pack", "series_cells"): (STORE, SERIES),
    ("pack", "nominal_v"): (STORE, SERIES),
    ("pack", "full_v"): (STORE, SERIES),
    ("pack", "empty_v"): (STORE, SERIES),
    ("pack", "resistance_ohm"): PACK,
    ("pack", "short_circuit_a"): PACK,
    ("pack", "sag"): (*PACK, "motor", "controller"),
    ("pack", "cut_v"): (STORE, SERIES, "bms", "controller"),
    ("wiring", "battery_cont_a"): (*PACK, "motor", "controller"),
    ("wiring", "phase_cont_a"): ("motor", "controller"),
    ("wiring", "precharge_95_s"): (STORE, SERIES, "precharge", "controller"),
    ("wiring", "precharge_99_s"): (STORE, SERIES, "precharge", "controller"),
    ("wiring", "precharge_energy_j"): (STORE, SERIES, "precharge", "controller"),
}
# Rules with one figure that is never better for being higher: past the limit of the part they hold it against, every
# higher one is past it too. tests/quoting/finder/test_tables.py walks each of them up.
RISING = {
    "battery-cable-current": ("wiring", "battery_cont_a"),
    "contactor-continuous": ("wiring", "battery_cont_a"),
    "fuse-under-steady-current": ("wiring", "battery_cont_a"),
    "fuse-breaking-capacity": ("pack", "short_circuit_a"),
}
# What they say is said of the quote, whatever the parts: tax place, VIN, and what the note promises.
BESIDE_THE_PARTS = frozenset({"tax-place-missing", "vin", "claimed-range", "claimed-charge-time"})
# Asked of whole sets: whether the build is complete is only known then.
WHOLE_ONLY = frozenset({"incomplete-build", "packs-mixed", "cells-short-of-plan", "pack-does-not-fit"})


def asked_rules(job: str, refused: Iterable[str]) -> tuple[Rule, ...]:
    """The rules that can refuse a set: those that stop, and those whose checks are refused here, of this job."""
    wanted = set(refused)
    return tuple(
        rule
        for rule in all_rules()
        if job in rule.jobs and ("stop" in rule.levels or rule.id in wanted) and rule.id not in BESIDE_THE_PARTS
    )


def scope_of(rule: Rule, slots: tuple[Slot, ...]) -> frozenset[str] | None:
    """Names of the slots and pack columns a rule depends on; None: wide, to be asked of whole sets."""
    if rule.id in WHOLE_ONLY:
        return None
    kinds: set[str] = set(rule.kinds) | {subject for subject, _ in rule.may_read}
    columns: set[str] = set()
    for subject, field in rule.reads:
        if subject in KINDS:
            kinds.add(subject)
        elif subject not in GIVEN:
            made_of = FIGURE_OF.get((subject, field))
            if made_of is None:
                return None
            columns.update(name for name in made_of if name in PACK)
            kinds.update(name for name in made_of if name not in PACK)
    if kinds & set(STORES):
        columns.add(STORE)
    return frozenset(columns | {slot.name for slot in slots if slot.kinds & kinds})
