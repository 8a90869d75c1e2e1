"""How many cells or boxes go into a box-shaped space, and how they are laid.

Source: plane geometry; square and hexagonal rows of circles (filling π/4 and π/(2·√3) of an endless plane).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import permutations

# Space around cells [mm], common practice, no source. Between round cells (holder or glue), at both faces of a layer
# together (bus strip and insulation), between flat-sided cells or modules (spacer and swelling).
CELL_GAP_MM = 0.5
LAYER_GAP_MM = 4.0
FLAT_GAP_MM = 1.0
ROW_PITCH = math.sqrt(3.0) / 2.0  # rows of a hexagonal layer, in pitches

Size = tuple[float, float, float]
TINY_MM = 1e-6  # so that rounding never keeps a cell out of a space of its own size
AXIS_WORDS = ("lying lengthwise", "lying crosswise", "upright")


@dataclass(frozen=True)
class Layout:
    """One way to lay round cells: along `axis` (0 length, 1 width, 2 height), in `rows` along `row_axis`.

    `first` and `second` cells in alternate rows; `layers` that fit; `row_step_mm` from row to row; `layer_mm` per
    layer; `diameter_mm` of a cell.
    """

    axis: int
    row_axis: int
    hexagonal: bool
    rows: int
    first: int
    second: int
    layers: int
    row_step_mm: float
    layer_mm: float
    diameter_mm: float

    def in_rows(self, rows: int) -> int:
        """Cells in the first so many rows of a layer."""
        return (rows + 1) // 2 * self.first + rows // 2 * self.second

    @property
    def per_layer(self) -> int:
        return self.in_rows(self.rows)

    @property
    def capacity(self) -> int:
        return self.layers * self.per_layer

    def block_for(self, count: int, inner: Size) -> Size:
        """Space [mm] that `count` cells take: whole layers, as few as hold them, then as few rows as hold them."""
        layers = min(self.layers, math.ceil(count / self.per_layer))
        rows = next(rows for rows in range(1, self.rows + 1) if layers * self.in_rows(rows) >= count)
        block = list(inner)
        block[self.axis] = layers * self.layer_mm
        block[self.row_axis] = (rows - 1) * self.row_step_mm + self.diameter_mm
        return (block[0], block[1], block[2])

    def words(self, count: int) -> str:
        """How it looks: upright, hexagonal rows, 2 layers of 84."""
        layers = min(self.layers, math.ceil(count / self.per_layer)) or 1
        pattern = "hexagonal" if self.hexagonal else "square"
        return f"{AXIS_WORDS[self.axis]}, {pattern} rows, {layers} layer{'s' if layers > 1 else ''} of {self.per_layer}"


def _along(space_mm: float, pitch_mm: float, diameter_mm: float) -> int:
    """Circles in a row: the first takes its diameter, each further one a pitch."""
    spare_mm = space_mm - diameter_mm + TINY_MM
    return math.floor(spare_mm / pitch_mm) + 1 if spare_mm >= 0.0 else 0


def square_count(along_mm: float, across_mm: float, diameter_mm: float, pitch_mm: float | None = None) -> int:
    """Circles in a rectangle, in square rows. Sizes [mm]; `pitch_mm` center to center, None: they touch."""
    pitch = pitch_mm or diameter_mm
    return _along(along_mm, pitch, diameter_mm) * _along(across_mm, pitch, diameter_mm)


def hexagonal_count(along_mm: float, across_mm: float, diameter_mm: float, pitch_mm: float | None = None) -> int:
    """Circles in a rectangle, in hexagonal rows that run along the first side. Sizes [mm], as square_count."""
    rows, first, second = _hexagonal_rows(along_mm, across_mm, diameter_mm, pitch_mm or diameter_mm)
    return (rows + 1) // 2 * first + rows // 2 * second


def _hexagonal_rows(along_mm: float, across_mm: float, diameter_mm: float, pitch_mm: float) -> tuple[int, int, int]:
    rows = _along(across_mm, pitch_mm * ROW_PITCH, diameter_mm)
    first = _along(along_mm, pitch_mm, diameter_mm)
    second = _along(along_mm - pitch_mm / 2.0, pitch_mm, diameter_mm)
    return rows, first, second


def layouts(inner: Size, diameter_mm: float, cell_mm: float) -> Iterator[Layout]:
    """Every regular way to lay round cells in a space that takes at least one.

    Parameters: `inner` length, width, height [mm]; `diameter_mm`, `cell_mm` length of a cell [mm].
    """
    pitch = diameter_mm + CELL_GAP_MM
    layer_mm = cell_mm + LAYER_GAP_MM
    for axis in (2, 0, 1):
        layers = math.floor(inner[axis] / layer_mm + 1e-9)
        for row_axis in (side for side in range(3) if side != axis):
            along = inner[3 - axis - row_axis]
            for hexagonal in (False, True):
                if hexagonal:
                    rows, first, second = _hexagonal_rows(along, inner[row_axis], diameter_mm, pitch)
                    step = pitch * ROW_PITCH
                else:
                    rows = _along(inner[row_axis], pitch, diameter_mm)
                    first = second = _along(along, pitch, diameter_mm)
                    step = pitch
                if layers > 0 and rows and first:
                    yield Layout(axis, row_axis, hexagonal, rows, first, second, layers, step, layer_mm, diameter_mm)


@dataclass(frozen=True)
class Grid:
    """One way to lay flat-sided cells or modules: `turned` their size in the space, `counts` along each side."""

    turned: Size
    counts: tuple[int, int, int]

    @property
    def capacity(self) -> int:
        return math.prod(self.counts)

    def block_for(self, count: int, inner: Size) -> Size:
        """Space [mm] that `count` of them take: whole slabs along the longest count, the full space else."""
        axis = max(range(3), key=lambda side: self.counts[side])
        per_slab = self.capacity // self.counts[axis]
        block = list(inner)
        block[axis] = min(inner[axis], math.ceil(count / per_slab) * (self.turned[axis] + FLAT_GAP_MM))
        return (block[0], block[1], block[2])

    def words(self, count: int) -> str:
        """How it looks: 4 long, 2 wide, 1 high."""
        return f"{self.counts[0]} long, {self.counts[1]} wide, {self.counts[2]} high"


def grids(inner: Size, size: Size, *, keep_upright: bool = False) -> Iterator[Grid]:
    """Every way to stack boxes of one size in a space that takes at least one. Sizes length, width, height [mm].

    `keep_upright` keeps the height standing (lead-acid).
    """
    for turned in sorted(set(permutations(size))):
        if keep_upright and turned[2] != size[2]:
            continue
        counts = tuple(
            math.floor((space + FLAT_GAP_MM) / (side + FLAT_GAP_MM) + 1e-9)
            for space, side in zip(inner, turned, strict=True)
        )
        if min(counts) > 0:
            yield Grid((turned[0], turned[1], turned[2]), (counts[0], counts[1], counts[2]))
