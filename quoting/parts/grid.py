"""A motor's efficiency over speed and torque, as rows of text and as numbers.

The first row holds the torques, every further row a speed and its efficiency at each torque:

    rpm   20    60    120
    200   0.70  0.72  0.61
    800   0.84  0.89  0.86

Cells are parted by spaces or tabs, rows by new lines or semicolons; the word "rpm" may be left out. Figures are plain:
1200 and 0.85, no commas; 85% is read as 0.85. Torque and speed are those of the motor's own shaft [N m], [rpm].
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise

from quoting.errors import FieldProblem, SpecError

CORNER = "rpm"
FEWEST, MOST = 2, 60  # speeds or torques: two make a straight line; no data sheet prints more than sixty
MOST_RPM, MOST_NM = 20_000.0, 3_000.0  # as for a motor's highest speed and peak torque
LOWEST_SHARE, HIGHEST_SHARE = 0.05, 0.99  # as for a motor's best efficiency; under 5 % no data sheet prints it
SHAPE = "First row: torques in N m. Then one row a speed: rpm and its efficiency at each torque."
PLAIN = re.compile(r"^\d+(\.\d+)?$|^\.\d+$")

Refuse = Callable[[str, str], None]


@dataclass(frozen=True)
class EfficiencyGrid:
    """`shares` efficiency of the motor alone [0..1] by speed (rows) and torque (columns), both rising.

    `speeds_rpm` [rpm], `torques_nm` [N m] at the motor's own shaft.
    """

    speeds_rpm: tuple[float, ...]
    torques_nm: tuple[float, ...]
    shares: tuple[tuple[float, ...], ...]

    @cached_property
    def text(self) -> str:
        """The grid as it is kept: rows on lines, single spaces, the word rpm in the corner."""
        rows = [(CORNER, *map(_plain, self.torques_nm))]
        rows += [(_plain(speed), *map(_share, row)) for speed, row in zip(self.speeds_rpm, self.shares, strict=True)]
        return "\n".join(" ".join(row) for row in rows)

    @cached_property
    def best(self) -> float:
        """The highest efficiency in it [0..1]."""
        return max(max(row) for row in self.shares)

    def of_several(self, count: float) -> EfficiencyGrid:
        """The grid of so many of these motors working as one: the same speeds, so many times the torque."""
        return EfficiencyGrid(self.speeds_rpm, tuple(count * nm for nm in self.torques_nm), self.shares)

    def share_at(self, speed_rpm: float, torque_nm: float) -> float:
        """Efficiency [0..1] at a speed [rpm] and torque [N m]: bilinear, and as at the edge outside the grid."""
        row, rise = _place(self.speeds_rpm, speed_rpm)
        column, run = _place(self.torques_nm, torque_nm)
        slow, fast = self.shares[row], self.shares[row + 1]
        at_slow = slow[column] + run * (slow[column + 1] - slow[column])
        at_fast = fast[column] + run * (fast[column + 1] - fast[column])
        return at_slow + rise * (at_fast - at_slow)

    def holds(self, speed_rpm: float, torque_nm: float) -> bool:
        """Whether a speed [rpm] and torque [N m] lie within the grid."""
        return (
            self.speeds_rpm[0] <= speed_rpm <= self.speeds_rpm[-1]
            and self.torques_nm[0] <= torque_nm <= self.torques_nm[-1]
        )


def _plain(value: float) -> str:
    return f"{value:.6f}".rstrip("0").rstrip(".")


def _share(value: float) -> str:
    """At least two decimals, so that the columns stand in line."""
    short = f"{value:.2f}"
    return short if abs(float(short) - value) < 5e-7 else _plain(value)


def _place(points: tuple[float, ...], value: float) -> tuple[int, float]:
    """Index of the step a value lies in, and how far into it [0..1]; at the ends the nearest step's end."""
    index = min(max(bisect_right(points, value) - 1, 0), len(points) - 2)
    share = (value - points[index]) / (points[index + 1] - points[index])
    return index, min(max(share, 0.0), 1.0)


@lru_cache(maxsize=512)
def read_grid(text: str, field: str = "efficiency_grid") -> EfficiencyGrid:
    """A grid out of rows of text.

    Parameters: `text` as in the module's example; `field` its name in messages. Returns: EfficiencyGrid.
    Raises: SpecError naming each row that is wrong and the remedy.
    """
    problems: list[FieldProblem] = []

    def refuse(problem: str, remedy: str) -> None:
        problems.append(FieldProblem(field, problem, remedy))

    rows = [line.split() for line in re.split(r"[\n;]", text) if line.strip()]
    grid = _grid(rows, refuse)
    if grid is not None and not problems:
        _check_power(grid, refuse)
    if problems or grid is None:
        raise SpecError(tuple(problems))
    return grid


def _grid(rows: list[list[str]], refuse: Refuse) -> EfficiencyGrid | None:
    """The grid of the rows, None where they are refused."""
    if len(rows) <= FEWEST:
        refuse("It has fewer than two speeds.", SHAPE)
        return None
    head = rows[0][1:] if rows[0][0].lower() == CORNER else rows[0]
    torques = _rising(head, "torque", "N m", MOST_NM, refuse)
    speeds = _rising([row[0] for row in rows[1:]], "speed", "rpm", MOST_RPM, refuse)
    shares = tuple(_shares(row, len(head), refuse) for row in rows[1:])
    if torques is None or speeds is None or any(row is None for row in shares):
        return None
    return EfficiencyGrid(speeds, torques, tuple(row for row in shares if row is not None))


def _rising(words: list[str], what: str, unit: str, most: float, refuse: Refuse) -> tuple[float, ...] | None:
    """The speeds or torques as numbers that rise; None where they are refused."""
    wrong = next((word for word in words if not PLAIN.match(word)), None)
    if wrong is not None:
        refuse(f"'{wrong}' is no {what} in {unit}.", f"{SHAPE} Plain figures without commas, such as 1200.")
        return None
    values = tuple(float(word) for word in words)
    if not FEWEST <= len(values) <= MOST:
        refuse(f"{len(values)} {what}{'' if len(values) == 1 else 's'} in it.", f"Give {FEWEST} to {MOST} {what}s.")
        return None
    if values[0] <= 0.0 or values[-1] > most:
        refuse(f"A {what} lies outside 0 to {most:,.0f} {unit}.", f"Give {what}s above 0, {most:,.0f} at most.")
        return None
    for low, high in pairwise(values):
        if low >= high:
            refuse(
                f"{what.capitalize()}s do not rise: {high:g} {unit} follows {low:g}.",
                f"Put them in order, each {what} once.",
            )
            return None
    return values


def _shares(row: list[str], wanted: int, refuse: Refuse) -> tuple[float, ...] | None:
    """The efficiencies of one speed's row; None where they are refused."""
    speed, words = row[0], row[1:]
    if len(words) != wanted:
        refuse(
            f"The row of {speed} rpm has {len(words)} of {wanted} efficiencies.",
            "Fill every cell, or leave out the speed or torque that has gaps.",
        )
        return None
    shares = []
    for word in words:
        bare = word.removesuffix("%")
        if not PLAIN.match(bare):
            refuse(f"'{word}' at {speed} rpm is no efficiency.", "Write 0.85 or 85% in every cell, without commas.")
            return None
        share = float(bare) / 100.0 if word.endswith("%") else float(bare)
        if not LOWEST_SHARE <= share <= HIGHEST_SHARE:
            refuse(
                f"{word} at {speed} rpm is no efficiency from {LOWEST_SHARE:g} to {HIGHEST_SHARE:g}.",
                "Write a fraction, such as 0.85, or with its sign 85%.",
            )
            return None
        shares.append(share)
    return tuple(shares)


def _check_power(grid: EfficiencyGrid, refuse: Refuse) -> None:
    """More torque must take more power at every speed, or a power would belong to two torques."""
    for speed, row in zip(grid.speeds_rpm, grid.shares, strict=True):
        takes = [nm / share for nm, share in zip(grid.torques_nm, row, strict=True)]
        for index, (less, more) in enumerate(pairwise(takes)):
            if more <= less:
                low, high = grid.torques_nm[index : index + 2]
                refuse(
                    f"At {speed:g} rpm {high:g} N m would take less power than {low:g} N m.",
                    "Check these two efficiencies against the data sheet.",
                )
                return
