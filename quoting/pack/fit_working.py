"""How the fit in the bays came about, as the shop reads it: sizes, clearances, what lies where."""

from __future__ import annotations

from quoting.pack.containers import INSULATION_MM, WALL_MM
from quoting.pack.fit import PackFit, unit_size
from quoting.pack.packing import CELL_GAP_MM, FLAT_GAP_MM, LAYER_GAP_MM
from quoting.pack.spaces import PART_GAP_MM
from quoting.pack.unit import PackUnit
from quoting.parts import Enclosure
from quoting.request import PackPlan
from quoting.result import Working
from quoting.setup import Setup
from quoting.show import show_length


def fit_working(setup: Setup, unit: PackUnit, plan: PackPlan, fit: PackFit) -> list[Working]:
    """The fit, with every clearance that was assumed; nothing when no bay or box was looked at."""
    size = unit_size(unit)
    if size is None or not fit.fit:
        return []
    units = setup.units
    names = {item.line.code: item.line.name for item in setup.fitted}
    used = sum(bay.used for bay in fit.fit)
    boxes = tuple((names.get(code, code), f"in {bay}") for code, bay in fit.placed)
    return [
        Working(
            figure="fit",
            label="Fit in the bays",
            formula=(
                "whole layers of cells, square or hexagonal rows, upright or lying, turned as most go in; "
                "then boxes in what remains, the largest first"
            ),
            inputs=(
                (f"{unit.word} size", " × ".join(show_length(side, units) for side in size)),
                *_clearances(setup, unit),
                ("bays", "clear space at full suspension travel and steering lock"),
                *((bay.bay, f"{bay.capacity} places, {bay.used} used {bay.layout}".rstrip()) for bay in fit.fit),
                *boxes,
            ),
            result=f"{used} of {plan.series * plan.parallel} {unit.word}s placed, {len(fit.placed)} boxes placed",
            source="plane geometry; clearances common practice, no source; public practitioner report, case B45",
        )
    ]


def _clearances(setup: Setup, unit: PackUnit) -> tuple[tuple[str, str], ...]:
    """Every gap that was assumed [mm], in the shop's units."""

    def assumed(length_mm: float) -> str:
        return f"{show_length(length_mm, setup.units)} (assumed)"

    if setup.all(Enclosure):
        sides = ("insulation inside the pack box, each side", assumed(INSULATION_MM))
    else:
        sides = ("wall and insulation, each side", assumed(WALL_MM + INSULATION_MM))
    if unit.diameter_mm is None:
        gaps: tuple[tuple[str, str], ...] = ((f"between {unit.word}s", assumed(FLAT_GAP_MM)),)
    else:
        gaps = (("between cells", assumed(CELL_GAP_MM)), ("both faces of a layer together", assumed(LAYER_GAP_MM)))
    return (sides, *gaps, ("around boxed parts", assumed(PART_GAP_MM)))
