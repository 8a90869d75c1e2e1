"""Where cells may go: pack boxes set in the bays, or the bays themselves."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import permutations

from quoting.pack.packing import Size
from quoting.pack.spaces import FreeSpaces, Space
from quoting.parts import Enclosure
from quoting.request import Bay, PackPlan
from quoting.setup import Fitted, Setup
from quoting.show import show_length

# Box wall and insulation on each side when the quote has no pack box; insulation alone inside a pack box [mm]. Common
# practice, no source.
WALL_MM = 3.0
INSULATION_MM = 2.0
SIDE_WORDS = ("longest", "middle", "shortest")


@dataclass(frozen=True)
class Container:
    """A space for cells: where it is, the room inside [mm], and what is left of its bay around it."""

    name: str
    bay: str | None
    inner: Size
    host: Space | None


def inside(size: Size, margin_mm: float) -> Size:
    """A size [mm] less a margin [mm] on each side."""
    return (size[0] - 2 * margin_mm, size[1] - 2 * margin_mm, size[2] - 2 * margin_mm)


def cell_containers(
    setup: Setup,
    plan: PackPlan,
    bays: tuple[Bay, ...],
    free: FreeSpaces,
    missing: list[str],
    unplaced: list[str],
) -> list[Container]:
    """Pack boxes placed in the pack's bays, or the bays themselves when the quote has no pack box.

    Space not used by them goes to `free`; sizes not known to `missing`; boxes too large to `unplaced`.
    """
    spaces = {bay.name: Space(bay.name, (bay.length_mm, bay.width_mm, bay.height_mm)) for bay in bays}
    chosen = [spaces[name] for name in dict.fromkeys(plan.bays) if name in spaces] if plan.bays else [*spaces.values()]
    boxes = [item for item in setup.all(Enclosure) for _ in range(int(item.line.quantity))]
    if not boxes:
        free.add([space for space in spaces.values() if space not in chosen])
        return [Container(space.bay, space.bay, inside(space.size, WALL_MM + INSULATION_MM), space) for space in chosen]
    free.add(list(spaces.values()))
    names = tuple(space.bay for space in chosen)
    found = [_boxed(setup, box, names, free, missing, unplaced) for box in boxes]
    return [container for container in found if container is not None]


def _boxed(
    setup: Setup,
    box: Fitted[Enclosure],
    bays: tuple[str, ...],
    free: FreeSpaces,
    missing: list[str],
    unplaced: list[str],
) -> Container | None:
    """One pack box set in one of the bays; without a bay when its outside or the bays are not known."""
    part, name = box.part, box.line.name
    if part.inner_length_mm is None or part.inner_width_mm is None or part.inner_height_mm is None:
        missing.append(f"inside size of {name}")
        return None
    inner = (part.inner_length_mm, part.inner_width_mm, part.inner_height_mm)
    if part.length_mm is None or part.width_mm is None or part.height_mm is None:
        missing.append(f"outside size of {name}")
        return Container(name, None, inside(inner, INSULATION_MM), None)
    if not bays:
        return Container(name, None, inside(inner, INSULATION_MM), None)
    outer = (part.length_mm, part.width_mm, part.height_mm)
    spot = free.place(outer, gap_mm=0.0, bays=bays)
    if spot is None:
        unplaced.append(short_text(setup, name, outer, free, gap_mm=0.0, bays=bays))
        return None
    turn = next(turn for turn in permutations(range(3)) if tuple(outer[side] for side in turn) == spot.turned)
    turned = (inner[turn[0]], inner[turn[1]], inner[turn[2]])
    return Container(spot.bay, spot.bay, inside(turned, INSULATION_MM), None)


def short_text(
    setup: Setup, name: str, size: Size, free: FreeSpaces, *, gap_mm: float, bays: tuple[str, ...] | None = None
) -> str:
    """Which side of a part is too long for the space that comes nearest, and by how much, in the shop's units."""
    nearest = free.closest(size, gap_mm=gap_mm, bays=bays)
    if nearest is None:
        return f"{name}: no space left."
    space, short_mm, side = nearest
    room = " × ".join(show_length(length, setup.units) for length in space.size)
    short = show_length(short_mm, setup.units)
    return f"{name}: its {SIDE_WORDS[side]} side is {short} too long for {space.bay} ({room})."
