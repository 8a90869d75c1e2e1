"""The bench plan as a drawing: a row per bench or person, a column per day, a bar per step."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time
from itertools import groupby
from textwrap import wrap

from shop.selectors.bench_plan import BenchPlan, PlanDay, PlanLane, PlanWork

WIDTH = 784  # with the names beside it, as wide as a landscape page of A4 or Letter between its margins
NAMES = 128
HEAD, ROW, BAR, PAD = 40, 34, 26, 4
NAME_LETTERS = 18  # of a lane's name on one line beside the days
LETTER = 6.6  # the width of a letter of the bars' type [px], measured on Inter at 11.5 px
MIDNIGHT = time(0)
DAY_MINUTES = 24 * 60
NARROW = 20.0  # a day narrower than this has no room for its own date


@dataclass(frozen=True)
class Column:
    """A day's ground, when it has one of its own: closed, or today."""

    x: float
    width: float
    look: str


@dataclass(frozen=True)
class Mark:
    """Words over the days, where a rule goes down from them."""

    x: float
    words: str
    small: str = ""


@dataclass(frozen=True)
class Piece:
    x: float
    width: float


@dataclass(frozen=True)
class LaneBar:
    """A step: its whole stretch, the pieces of it that are worked, those that are paused, and its words if they fit."""

    y: float
    x: float
    width: float
    worked: tuple[Piece, ...]
    paused: tuple[Piece, ...]
    words: str
    words_x: float
    told: str
    work: PlanWork


@dataclass(frozen=True)
class OffBar:
    """Leave or downtime."""

    y: float
    x: float
    width: float
    height: float
    words: str
    told: str


@dataclass(frozen=True)
class NameLine:
    """A line of a lane's name."""

    y: float
    words: str


@dataclass(frozen=True)
class LaneRow:
    """`lines` the name, broken where it is too long for one line."""

    name: str
    lines: tuple[NameLine, ...]
    y: float
    height: float
    bars: tuple[LaneBar, ...]
    off: tuple[OffBar, ...]


@dataclass(frozen=True)
class LanesDrawing:
    """Two drawings of one height side by side: the names stay while the days are scrolled."""

    title: str
    height: float
    columns: tuple[Column, ...]
    marks: tuple[Mark, ...]
    rows: tuple[LaneRow, ...]
    width: int = WIDTH
    names: int = NAMES
    head: int = HEAD
    bar: int = BAR


def lanes_drawing(plan: BenchPlan) -> LanesDrawing:
    """The drawing of a bench plan; its title says what it shows."""
    across = Across(plan.days)
    rows: list[LaneRow] = []
    y = float(HEAD)
    for lane in plan.lanes:
        rows.append(_row(lane, across, y, plan.by))
        y += rows[-1].height
    what = "People" if plan.by == "person" else "Benches"
    steps = sum(len(lane.works) for lane in plan.lanes)
    title = f"{what} from {plan.first:%B} {plan.first.day} to {plan.last:%B} {plan.last.day}: {steps} planned steps"
    return LanesDrawing(
        title=title,
        height=y,
        columns=tuple(
            Column(across.day(index), across.wide, "closed" if each.closed else "today")
            for index, each in enumerate(plan.days)
            if each.closed or each.today
        ),
        marks=_marks(plan.days, across),
        rows=tuple(rows),
    )


class Across:
    """From moments to places: a day's width is its opening hours, so that a day's work fills it."""

    def __init__(self, days: tuple[PlanDay, ...]) -> None:
        self.days = days
        self.first = days[0].day
        self.wide = WIDTH / len(days)

    def day(self, index: int) -> float:
        return round(index * self.wide, 1)

    def of_day(self, day: date) -> float:
        """Where a day begins, held within the drawing."""
        return self.day(min(max((day - self.first).days, 0), len(self.days)))

    def at(self, moment: datetime) -> float:
        index = (moment.date() - self.first).days
        if index < 0:
            return 0.0
        if index >= len(self.days):
            return float(WIDTH)
        known = self.days[index]
        if known.opens is None or known.closes is None:
            return self.day(index)
        opens, minute = _minutes(known.opens), _minutes(moment.time())
        closes = DAY_MINUTES if known.closes == MIDNIGHT else _minutes(known.closes)
        part = min(max((minute - opens) / (closes - opens), 0.0), 1.0)
        return round((index + part) * self.wide, 1)


def _minutes(clock: time) -> float:
    return clock.hour * 60 + clock.minute + clock.second / 60


def _marks(days: tuple[PlanDay, ...], across: Across) -> tuple[Mark, ...]:
    """Each day with its weekday, or when days are narrow each Monday with its month."""
    if across.wide >= NARROW:
        return tuple(
            Mark(across.day(index), f"{each.day:%a} {each.day.day}", "closed" if each.closed else "")
            for index, each in enumerate(days)
        )
    return tuple(
        Mark(across.day(index), f"{each.day:%b} {each.day.day}") for index, each in enumerate(days) if index % 7 == 0
    )


def _row(lane: PlanLane, across: Across, y: float, by: str) -> LaneRow:
    """Steps that overlap, as work that was started out of order may, lie under each other."""
    ends: list[float] = []
    bars = []
    for work in lane.works:
        start, end = across.at(work.booking.start), across.at(work.booking.end)
        under = next((index for index, taken in enumerate(ends) if taken <= start), len(ends))
        ends[under : under + 1] = [end]
        bars.append(_bar(work, across, start, max(end - start, 2.0), y + PAD + under * (BAR + PAD), by))
    height = max(len(ends), 1) * (BAR + PAD) + PAD
    lines = wrap(lane.name, NAME_LETTERS)[:2]
    places = (21,) if len(lines) == 1 else (15, 29)
    named = tuple(NameLine(y + place, line) for place, line in zip(places, lines, strict=False))
    return LaneRow(lane.name, named, y, height, tuple(bars), _off(lane, across, y, height, by))


def _bar(work: PlanWork, across: Across, x: float, width: float, y: float, by: str) -> LaneBar:
    booking = work.booking
    paused = set(work.paused)
    runs: dict[bool, list[Piece]] = {False: [], True: []}
    within = [
        each for each in across.days if booking.start.date() <= each.day <= booking.end.date() and not each.closed
    ]
    numbered = [((each.day - across.first).days, each.day in paused) for each in within]
    for key, group in groupby(enumerate(numbered), key=lambda item: (item[1][0] - item[0], item[1][1])):
        indexes = [number for _, (number, _) in group]
        left = max(across.day(indexes[0]), x)
        right = min(across.day(indexes[-1] + 1), x + width)
        if right > left:
            runs[key[1]].append(Piece(round(left, 1), round(right - left, 1)))
    other = booking.bench if by == "person" else booking.person
    words = f"{booking.build} {booking.label}"
    ground = max(runs[False], key=lambda piece: piece.width, default=Piece(x, 0.0))
    fits = int((ground.width - 8) / LETTER)
    shown = words if len(words) <= fits else booking.build if len(booking.build) <= fits else ""
    said = f"{words}, {booking.start:%b} {booking.start.day} to {booking.end:%b} {booking.end.day}"
    told = ", ".join(part for part in (said, other, "under way" if booking.under_way else "") if part)
    if paused:
        told += f", paused {len(paused)} day{'' if len(paused) == 1 else 's'}"
    return LaneBar(
        y=y, x=x, width=round(width, 1), worked=tuple(runs[False]), paused=tuple(runs[True]),
        words=shown, words_x=ground.x, told=told, work=work,
    )  # fmt: skip


def _off(lane: PlanLane, across: Across, y: float, height: float, by: str) -> tuple[OffBar, ...]:
    found = []
    for span in lane.off:
        left, right = across.of_day(span.first), across.day(min((span.last - across.first).days + 1, len(across.days)))
        word = "away" if by == "person" else "down"
        told = f"{lane.name} {word}{f': {span.reason}' if span.reason else ''}"
        words = word if len(word) * LETTER + 8 <= right - left else ""
        found.append(OffBar(y + 1, left, round(right - left, 1), height - 2, words, told))
    return tuple(found)
