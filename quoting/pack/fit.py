"""Whether the pack and the boxed parts go into the donor's bays.

A bay is the clear space of the frame, measured with the suspension at full travel and the steering at its locks; it is
taken as a box. Source of the clearances: common practice, no source (named where they are set).
"""

from __future__ import annotations

from dataclasses import dataclass

from quoting.pack.containers import INSULATION_MM, WALL_MM, Container, cell_containers, short_text
from quoting.pack.packing import Grid, Layout, Size, grids, layouts
from quoting.pack.spaces import PART_GAP_MM, FreeSpaces, Space, left_over
from quoting.pack.unit import PackUnit
from quoting.parts import Bms, Charger, Contactor, Controller, Dcdc
from quoting.request import PackPlan
from quoting.result import BayFit
from quoting.setup import Setup

BOXED_KINDS = (Charger, Dcdc, Bms, Contactor, Controller)


@dataclass(frozen=True, kw_only=True)
class PackFit:
    """Where cells and boxed parts go. `placed` line code and bay; `unplaced` texts; `missing` what is not known."""

    fit: tuple[BayFit, ...] = ()
    placed: tuple[tuple[str, str], ...] = ()
    unplaced: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()


def unit_size(unit: PackUnit) -> Size | None:
    """Size of a flat-sided cell or module [mm]; for a round cell (diameter, diameter, length). None: not known."""
    if unit.diameter_mm is not None:
        tall = unit.length_mm or unit.height_mm
        return None if tall is None else (unit.diameter_mm, unit.diameter_mm, tall)
    if unit.length_mm is None or unit.width_mm is None or unit.height_mm is None:
        return None
    return (unit.length_mm, unit.width_mm, unit.height_mm)


def ways_to_lay(inner: Size, unit: PackUnit) -> list[Layout | Grid]:
    """Every regular way to lay the units in a space [mm]; empty when not one goes in or their size is not known."""
    size = unit_size(unit)
    if size is None:
        return []
    if unit.diameter_mm is not None:
        return list(layouts(inner, unit.diameter_mm, size[2]))
    return list(grids(inner, size, keep_upright=unit.chemistry == "lead"))


def largest_count(inner: Size, unit: PackUnit) -> int:
    """Most cells or modules that go into a space of `inner` length, width, height [mm]."""
    return max((way.capacity for way in ways_to_lay(inner, unit)), default=0)


def fit_pack(setup: Setup, unit: PackUnit, plan: PackPlan) -> PackFit:
    """Lay the cells in the pack boxes or bays, then place the boxed parts in what remains, largest first.

    Returns: PackFit. Parts without a size go to `missing`, never to "fits".
    """
    bays = setup.donor.bays if setup.donor else ()
    missing: list[str] = []
    unplaced: list[str] = []
    if setup.donor is not None and not bays:
        missing.append("bays of the donor")
    missing.extend(f"bay '{name}' of the donor" for name in plan.bays if name not in {bay.name for bay in bays})
    if unit_size(unit) is None:
        return PackFit(missing=(*missing, f"{unit.word} size"))
    free = FreeSpaces([])
    containers = cell_containers(setup, plan, bays, free, missing, unplaced)
    if not containers:
        return PackFit(unplaced=tuple(unplaced), missing=tuple(missing))
    fit = _lay(containers, unit, plan, free, unplaced, in_order=bool(plan.bays))
    placed = _place_boxes(setup, free, missing, unplaced) if bays else ()
    return PackFit(fit=fit, placed=placed, unplaced=tuple(unplaced), missing=tuple(missing))


def _lay(
    containers: list[Container],
    unit: PackUnit,
    plan: PackPlan,
    free: FreeSpaces,
    unplaced: list[str],
    *,
    in_order: bool,
) -> tuple[BayFit, ...]:
    """Fill the containers, in the plan's order or the roomiest first; hand what they leave to `free`."""
    ways = [(container, ways_to_lay(container.inner, unit)) for container in containers]
    if not in_order:
        ways.sort(key=lambda item: -max((way.capacity for way in item[1]), default=0))
    wanted = left = plan.series * plan.parallel
    fits = []
    for container, choices in ways:
        capacity = max((way.capacity for way in choices), default=0)
        used = min(capacity, left)
        left -= used
        layout = ""
        if used:
            enough = [way for way in choices if way.capacity >= used]
            way = max(enough, key=lambda item: _largest_left(container.inner, item.block_for(used, container.inner)))
            layout = way.words(used)
            _hand_back(container, way.block_for(used, container.inner), free)
        elif container.host is not None:
            free.add([container.host])
        fits.append(BayFit(bay=container.name, capacity=capacity, used=used, layout=layout))
    if left:
        unplaced.append(f"{left} of {wanted} {unit.word}s: there is room for {wanted - left}.")
    return tuple(fits)


def _largest_left(inner: Size, block: Size) -> float:
    """Largest share of a space [0..1] that a block leaves in one piece."""
    return max(1.0 - block[side] / inner[side] for side in range(3))


def _hand_back(container: Container, block: Size, free: FreeSpaces) -> None:
    """Give the room around the cells back: of the bay when there is no pack box, else of the inside of the box."""
    if container.host is None:
        free.add(left_over(Space(container.name, container.inner), block))
        return
    margin = 2 * (WALL_MM + INSULATION_MM)
    free.add(left_over(container.host, (block[0] + margin, block[1] + margin, block[2] + margin)))


def _place_boxes(
    setup: Setup, free: FreeSpaces, missing: list[str], unplaced: list[str]
) -> tuple[tuple[str, str], ...]:
    boxed: list[tuple[str, str, Size]] = []
    for kind in BOXED_KINDS:
        for item in setup.all(kind):
            part = item.part
            if part.length_mm is None or part.width_mm is None or part.height_mm is None:
                missing.append(f"size of {item.line.name}")
                continue
            size = (part.length_mm, part.width_mm, part.height_mm)
            boxed.extend((item.line.code, item.line.name, size) for _ in range(int(item.line.quantity)))
    boxed.sort(key=lambda item: -item[2][0] * item[2][1] * item[2][2])
    placed = []
    for code, name, size in boxed:
        spot = free.place(size)
        if spot is None:
            unplaced.append(short_text(setup, name, size, free, gap_mm=PART_GAP_MM))
        else:
            placed.append((code, spot.bay))
    return tuple(placed)
