"""What the chart templates draw. Every chart says in one sentence what it shows and carries its figures as a table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shop.charts.scale import Scale, apart, closed, path, ticks

WIDTH, HEIGHT = 360, 216  # a column of the Counter: text stays readable there, and paper has room to spare
LEFT, RIGHT, TOP, BOTTOM = 36, 84, 12, 34
LABEL_APART = 13.0
# Print colors; the page's style sheet recolors the classes. Same hues as static/css/tokens.css.
INKS = {"first": "#8f4119", "second": "#2d5064", "limit": "#8c1515"}


@dataclass(frozen=True)
class Series:
    """A line to draw: its words, its points in shown units, how it looks."""

    label: str
    points: tuple[tuple[float, float], ...]
    look: str = "first"
    dashes: str = ""


@dataclass(frozen=True)
class Tick:
    place: float
    label: str


@dataclass(frozen=True)
class DrawnLine:
    d: str
    look: str
    ink: str
    dashes: str
    label: str
    label_y: float


@dataclass(frozen=True)
class LineChart:
    """Lines over one axis, with a band when there is one."""

    key: str
    title: str
    x_words: str
    y_words: str
    x_ticks: tuple[Tick, ...]
    y_ticks: tuple[Tick, ...]
    lines: tuple[DrawnLine, ...]
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    band: str = ""
    width: int = WIDTH
    height: int = HEIGHT
    left: int = LEFT
    right: int = WIDTH - RIGHT
    top: int = TOP
    bottom: int = HEIGHT - BOTTOM

    @property
    def description(self) -> str:
        """What is drawn: axes with their ends, lines in order, the band."""
        lines = ", ".join(line.label for line in self.lines)
        band = ", with the band between the best and the worst case" if self.band else ""
        across, up = (f"{marks[0].label} to {marks[-1].label}" for marks in (self.x_ticks, self.y_ticks))
        return f"Across: {self.x_words}, {across}. Up: {self.y_words}, {up}. Drawn: {lines}{band}."


@dataclass(frozen=True)
class Bar:
    label: str
    y: float
    width: float
    value: str


@dataclass(frozen=True)
class BarGroup:
    """Bars of one thing, with its limit as a mark; `limit_x` None where no limit is known."""

    label: str
    y: float
    bars: tuple[Bar, ...]
    limit_x: float | None
    limit_words: str
    limit_top: float
    limit_bottom: float


@dataclass(frozen=True)
class BarChart:
    """Lying bars in groups."""

    key: str
    title: str
    groups: tuple[BarGroup, ...]
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    height: int
    width: int = WIDTH
    left: int = LEFT

    @property
    def description(self) -> str:
        """What is drawn: the groups, their bars, the mark."""
        groups = ", ".join(group.label.lower() for group in self.groups)
        bars = ", ".join(dict.fromkeys(bar.label for group in self.groups for bar in group.bars))
        marks = " A mark shows the rating on the plate." if any(g.limit_x is not None for g in self.groups) else ""
        return f"Bars for {groups}: {bars}.{marks}"


def shown(value: float) -> str:
    """A tick's number."""
    return f"{value:,.0f}" if value == round(value) else f"{value:,.1f}"


def line_chart(
    key: str,
    title: str,
    x_words: str,
    y_words: str,
    series: Sequence[Series],
    table: tuple[tuple[str, ...], tuple[tuple[str, ...], ...]],
    *,
    band: tuple[tuple[tuple[float, float], ...], tuple[tuple[float, float], ...]] | None = None,
    from_zero: bool = True,
    x_falls: bool = False,
) -> LineChart:
    """Place series (and a band of upper and lower points) on one pair of axes. `table` is its heads and rows."""
    every = [point for line in series for point in line.points] + [point for edge in band or () for point in edge]
    x_marks = ticks(min(x for x, _ in every), max(x for x, _ in every), 7)
    lowest = 0.0 if from_zero else min(y for _, y in every)
    y_marks = ticks(lowest, max(y for _, y in every), 5)
    ends = (WIDTH - RIGHT, LEFT) if x_falls else (LEFT, WIDTH - RIGHT)
    across = Scale(x_marks[0], x_marks[-1], *ends)
    up = Scale(y_marks[0], y_marks[-1], HEIGHT - BOTTOM, TOP)

    def placed(points: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
        return [(across.at(x), up.at(y)) for x, y in points]

    label_places = apart([up.at(line.points[-1][1]) + 4 for line in series], LABEL_APART)
    return LineChart(
        key=key,
        title=title,
        x_words=x_words,
        y_words=y_words,
        x_ticks=tuple(Tick(across.at(value), shown(value)) for value in x_marks),
        y_ticks=tuple(Tick(up.at(value), shown(value)) for value in y_marks),
        lines=tuple(
            DrawnLine(path(placed(line.points)), line.look, INKS[line.look], line.dashes, line.label, place)
            for line, place in zip(series, label_places, strict=True)
        ),
        band=closed(placed(band[0]), placed(band[1])) if band else "",
        columns=table[0],
        rows=table[1],
    )
