"""How long the rules take. Run by hand: python -m tests.benchmarks.rules. Prints milliseconds and ratios."""

from __future__ import annotations

import sys
import timeit
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

from quoting.request import CatalogueItem
from quoting.rules import all_rules, check, fitting, rules_applied
from quoting.setup import setup_of
from tests.quoting.rules.bike import SOUND, Bike

CANDIDATES = 60
FITTING_MS = 15.0  # aim: a list of parts opens without being noticed
CHECK_MS = 5.0  # aim: one option, with ways out looked for in a catalogue of 60 parts a kind


def catalogue(kind: str, count: int = CANDIDATES) -> tuple[CatalogueItem, ...]:
    """So many parts of a kind, a third of them too weak one way or another, prices and stock mixed."""
    spec = dict(next(part[2] for part in SOUND.values() if part[0] == kind))
    weak: dict[str, dict[str, object]] = {
        "controller": {"max_v": 80},
        "motor": {"rotor_sensor": "resolver"},
        "cell": {"cont_a": 5},
        "bms": {"series_high": 18},
        "charger": {"end_v": 58.8},
        "fuse": {"dc_v": 58},
        "cable": {"ampacity_a": 90},
    }
    weaken = weak.get(kind, {})
    return tuple(
        CatalogueItem(
            code=f"{kind}-{number}",
            kind=kind,
            name=f"{kind} {number}",
            spec={**spec, **(weaken if number % 3 == 0 else {})},
            unit_price=Decimal(100 + (number * 37) % 90),
            free_quantity=Decimal(number % 2),
        )
        for number in range(count)
    )


def milliseconds(work: Callable[[], object], times: int = 20) -> float:
    """The best of five runs of `times` calls, a call [ms]."""
    return min(timeit.repeat(work, number=times, repeat=5)) / times * 1000


def line(label: str, took_ms: float, aim_ms: float) -> str:
    return f"{label:<44}{took_ms:8.2f} ms   {took_ms / aim_ms:5.2f} of {aim_ms:g} ms"


def main() -> None:
    """Print the table."""
    bike = Bike()
    request = bike.request()
    setup = setup_of(request, request.options[0])
    facts = bike.facts()
    out = [f"{len(all_rules())} rules, {rules_applied(facts)} apply to the sound build"]
    for kind in ("controller", "motor", "cell", "bms", "charger", "fuse", "precharge", "cable", "contactor", "dcdc"):
        items = catalogue(kind)

        def judge(kind: str = kind, items: tuple[CatalogueItem, ...] = items) -> object:
            return fitting(setup, kind, items, pack=facts.pack, wiring=facts.wiring)

        out.append(line(f"fitting, {CANDIDATES} of kind {kind}", milliseconds(judge, 5), FITTING_MS))
    kinds = ("controller", "motor", "cell", "bms", "charger", "fuse", "cable")
    stocked = tuple(item for kind in kinds for item in catalogue(kind))
    out.append(line("check, sound build", milliseconds(lambda: check(facts)), CHECK_MS))
    faulty = replace(bike.with_("controller", max_v=80).with_("fuse", dc_v=58), catalogue=stocked)
    broken = faulty.facts()
    out.append(line("check, two faults, ways out found", milliseconds(lambda: check(replace(broken))), CHECK_MS))
    hopeless = replace(bike.packed(28), catalogue=stocked)
    out.append(
        line("check, nothing in the catalogue helps", milliseconds(lambda: check(hopeless.facts()), 3), CHECK_MS)
    )
    sys.stdout.write("\n".join(out) + "\n")


if __name__ == "__main__":
    main()
