"""Every finish window that was given: to whom, when, by whom and why; and for finished builds whether it was kept."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from shop.models import Build, BuildState, PromiseEntry
from shop.selectors.paging import Paged, paged
from shop.selectors.shop import the_shop

OPEN, KEPT, MISSED, CANCELLED = "open", "kept", "missed", "cancelled"


@dataclass(frozen=True, kw_only=True)
class PromiseFilter:
    """Words in number, customer or reason; how it came out; first or changed windows."""

    text: str = ""
    show: str = ""
    kind: str = ""
    page: int = 1


@dataclass(frozen=True, kw_only=True)
class PromiseRow:
    """One window. `finished` the day the build was ready, `late_days` how far past the window's last day, 0 when kept;
    both None while it is being built. `standing` the last window its customer was given."""

    entry: PromiseEntry
    standing: bool
    finished: date | None = None
    late_days: int | None = None

    @property
    def outcome(self) -> str:
        if self.late_days is not None:
            return MISSED if self.late_days else KEPT
        return CANCELLED if self.entry.build.state == BuildState.CANCELLED else OPEN


@dataclass(frozen=True, kw_only=True)
class Tally:
    """Of `windows` of finished builds, how many were kept by their last day."""

    label: str
    windows: int
    kept: int

    @property
    def missed(self) -> int:
        return self.windows - self.kept


@dataclass(frozen=True, kw_only=True)
class PromiseLog:
    """A page of windows, newest first. The tallies count all that fit words and kind, however they came out."""

    found: Paged[PromiseRow]
    every: Tally
    tallies: tuple[Tally, ...]


def promise_log(filters: PromiseFilter) -> PromiseLog:
    """Two queries, however many windows were given."""
    zone = ZoneInfo(the_shop().zone)
    entries = list(PromiseEntry.objects.select_related("build__customer", "person").order_by("-at", "-pk"))
    standing: dict[int, int] = {}
    for entry in entries:
        standing.setdefault(entry.build_id, entry.pk)  # newest first: the first one met is the last one given
    rows = [_row(entry, standing[entry.build_id] == entry.pk, zone) for entry in entries]
    fitting = [row for row in rows if filters.kind in ("", row.entry.kind) and _holds(row.entry, filters.text)]
    shown = [row for row in fitting if filters.show in ("", row.outcome)]
    return PromiseLog(
        found=paged(shown, filters.page),
        every=_tally("All windows", fitting),
        tallies=(
            _tally("First window given", [row for row in fitting if row.entry.kind == PromiseEntry.Kind.FIRST]),
            _tally("Last window given", [row for row in fitting if row.standing]),
        ),
    )


def _row(entry: PromiseEntry, standing: bool, zone: ZoneInfo) -> PromiseRow:
    moment = _finish(entry.build)
    if moment is None:
        return PromiseRow(entry=entry, standing=standing)
    finished = moment.astimezone(zone).date()
    late = max((finished - entry.finish_to).days, 0)
    return PromiseRow(entry=entry, standing=standing, finished=finished, late_days=late)


def _finish(build: Build) -> datetime | None:
    """When it was ready; a build that was cancelled kept and missed nothing."""
    if build.state not in (BuildState.READY, BuildState.HANDED_OVER):
        return None
    return build.finished_at or build.handed_over_at


def _tally(label: str, rows: Sequence[PromiseRow]) -> Tally:
    ended = [row for row in rows if row.late_days is not None]
    return Tally(label=label, windows=len(ended), kept=_count(row.outcome == KEPT for row in ended))


def _count(truths: Iterable[bool]) -> int:
    return sum(truths)


def _holds(entry: PromiseEntry, text: str) -> bool:
    about = f"{entry.build.number} {entry.build.customer} {entry.build.title} {entry.reason}".casefold()
    return all(word in about for word in text.casefold().split())
