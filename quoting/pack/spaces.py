"""Free box-shaped spaces in the bays, and placing boxed parts in them, largest first.

Each part goes to the smallest space that takes it; what it leaves is cut into up to three boxes. A greedy method: it
never says "fits" wrongly, but may miss a fit that a patient hand would find.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import permutations

from quoting.pack.packing import Size

# Air and brackets around a boxed part, added to each of its sides once [mm]: common practice, no source.
PART_GAP_MM = 5.0
LEAST_USE_MM = 10.0  # thinner left-overs are dropped


@dataclass(frozen=True)
class Space:
    """A free box in a bay: length, width, height [mm]."""

    bay: str
    size: Size

    @property
    def volume(self) -> float:
        return math.prod(self.size)


@dataclass(frozen=True)
class Spot:
    """Where a part went: the bay, and its size as turned [mm] in length, width and height."""

    bay: str
    turned: Size


class FreeSpaces:
    """The free spaces of some bays, used up as parts are placed."""

    def __init__(self, spaces: list[Space]) -> None:
        self._spaces = list(spaces)

    def add(self, spaces: list[Space]) -> None:
        """More free spaces."""
        self._spaces.extend(spaces)

    def place(self, size: Size, *, gap_mm: float = PART_GAP_MM, bays: tuple[str, ...] | None = None) -> Spot | None:
        """Put a box of `size` [mm] in the smallest space that takes it, in one of `bays` only when given."""
        wanted = (size[0] + gap_mm, size[1] + gap_mm, size[2] + gap_mm)
        turns = tuple((wanted[i], wanted[j], wanted[k]) for i, j, k in permutations(range(3)))
        for space in sorted(self._spaces, key=lambda item: item.volume):
            if bays is not None and space.bay not in bays:
                continue
            for turned in turns:
                if all(need <= room + 1e-9 for need, room in zip(turned, space.size, strict=True)):
                    self._spaces.remove(space)
                    self._spaces.extend(left_over(space, turned))
                    return Spot(space.bay, (turned[0] - gap_mm, turned[1] - gap_mm, turned[2] - gap_mm))
        return None

    def closest(
        self, size: Size, *, gap_mm: float = PART_GAP_MM, bays: tuple[str, ...] | None = None
    ) -> tuple[Space, float, int] | None:
        """The space, of `bays` only when given, that comes nearest to taking a box: how much short [mm], which side.

        The side is 0 longest, 1 middle, 2 shortest of the box. None when there is no space at all.
        """
        wanted = sorted((side + gap_mm for side in size), reverse=True)
        best: tuple[Space, float, int] | None = None
        for space in self._spaces:
            if bays is not None and space.bay not in bays:
                continue
            room = sorted(space.size, reverse=True)
            short = [need - have for need, have in zip(wanted, room, strict=True)]
            worst = max(range(3), key=lambda side: short[side])
            if best is None or short[worst] < best[1]:
                best = (space, short[worst], worst)
        return best


def left_over(space: Space, block: Size) -> list[Space]:
    """Cut what a block leaves of a space into up to three boxes, the largest slab first."""
    pieces, remaining = [], list(space.size)
    for axis in sorted(range(3), key=lambda side: block[side] / space.size[side]):
        piece = remaining.copy()
        piece[axis] = remaining[axis] - block[axis]
        remaining[axis] = block[axis]
        if min(piece) >= LEAST_USE_MM:
            pieces.append(Space(space.bay, (piece[0], piece[1], piece[2])))
    return pieces
