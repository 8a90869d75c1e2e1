"""The line as it is looked at: everything, or only what is late, held, waiting, on a bench or ready."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from shop.models import BuildState
from shop.selectors.line import LineRow, line_rows
from shop.selectors.odds import LineOdds, line_odds
from shop.selectors.plan import line_plan

# What the address calls a view of the line -> its words and the rows in it.
SHOWN: Mapping[str, tuple[str, Callable[[LineRow], bool]]] = {
    "": ("All", lambda row: True),
    "late": ("Late, tight or without a date", lambda row: bool(row.late_days) or row.is_tight or _undated(row)),
    "waiting": ("Waiting", lambda row: bool(row.holds) and not row.build.on_hold),
    "hold": ("On hold", lambda row: row.build.on_hold),
    "bench": ("On the bench", lambda row: row.build.state in (BuildState.ON_BENCH, BuildState.TESTING)),
    "ready": ("Ready", lambda row: row.build.state == BuildState.READY),
}


@dataclass(frozen=True, kw_only=True)
class LineFilter:
    """Words in number, customer or bike, and one of SHOWN."""

    text: str = ""
    show: str = ""


@dataclass(frozen=True, kw_only=True)
class LineTab:
    """One way to look at the line, and how many builds it shows."""

    code: str
    words: str
    count: int


@dataclass(frozen=True, kw_only=True)
class LineList:
    """The rows asked for in order of place, and how many each view would show. `odds` what their windows rest on."""

    rows: tuple[LineRow, ...]
    tabs: tuple[LineTab, ...]
    odds: LineOdds | None


def line_list(filters: LineFilter) -> LineList:
    """The line, filtered. As many queries as the line takes, whatever its length."""
    plan = line_plan()
    odds = line_odds(plan.revision)
    rows = line_rows(plan, odds)
    chosen = SHOWN[filters.show][1]
    return LineList(
        rows=tuple(row for row in rows if chosen(row) and _holds(row, filters.text)),
        tabs=tuple(
            LineTab(code=code, words=words, count=sum(map(fits, rows))) for code, (words, fits) in SHOWN.items()
        ),
        odds=odds,
    )


def _undated(row: LineRow) -> bool:
    return row.finish_to is None and row.build.state != BuildState.READY and not row.build.on_hold


def _holds(row: LineRow, text: str) -> bool:
    build = row.build
    about = f"{build.number} {build.customer.name} {build.title} {build.donor or ''}".casefold()
    return all(word in about for word in text.casefold().split())
