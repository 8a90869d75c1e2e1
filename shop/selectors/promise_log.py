"""Every finish window that was given: to whom, when, by whom and why; and for finished builds whether it was kept."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from quoting.odds import LevelRate, hit_rates
from shop.models import BuildState, PromiseEntry
from shop.selectors.odds import kept_words
from shop.selectors.odds_basis import finished_at, promises_come_due
from shop.selectors.paging import Paged, paged
from shop.selectors.shop import the_shop

WHOLE = 100  # [%]
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
    both None while it is being built. `standing` the last window its customer was given. `slip_days` how far its last
    day lies past that of the window before [calendar days], negative when earlier; None for the first."""

    entry: PromiseEntry
    standing: bool
    slip_days: int | None = None
    finished: date | None = None
    late_days: int | None = None

    @property
    def outcome(self) -> str:
        if self.late_days is not None:
            return MISSED if self.late_days else KEPT
        return CANCELLED if self.entry.build.state == BuildState.CANCELLED else OPEN

    @property
    def slip_words(self) -> str:
        """ "14 days later"; empty for a first window."""
        if self.slip_days is None:
            return ""
        counted = f"{abs(self.slip_days)} day{'' if abs(self.slip_days) == 1 else 's'}"
        return "same last day" if not self.slip_days else f"{counted} {'later' if self.slip_days > 0 else 'earlier'}"

    @property
    def from_words(self) -> str:
        """What the window was taken from: "simulated runs, 50 % and 80 %"."""
        words = self.entry.get_basis_display().lower()
        if self.entry.from_level is None or self.entry.to_level is None or self.is_named:
            return words
        return f"{words}, {self.entry.from_level:g} % and {self.entry.to_level:g} %"

    @property
    def is_named(self) -> bool:
        return self.entry.basis == PromiseEntry.Basis.PERSON

    @property
    def kept_words(self) -> str:
        """How sure its last day was when it was given: "kept in 8 of 10 runs"; empty where no runs were known."""
        return "" if self.entry.to_level is None else kept_words(self.entry.to_level / WHOLE)


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
    """A page of windows, newest first. The tallies count all that fit words and kind, however they came out.

    `rates` how often the day at each level was kept, over every finished build whose window came from simulated runs,
    and the level used from now on.
    """

    found: Paged[PromiseRow]
    every: Tally
    tallies: tuple[Tally, ...]
    rates: tuple[LevelRate, ...]


def promise_log(filters: PromiseFilter) -> PromiseLog:
    """Three queries, however many windows were given."""
    shop = the_shop()
    zone = ZoneInfo(shop.zone)
    entries = list(
        PromiseEntry.objects.select_related("build__customer", "person").defer("odds").order_by("-at", "-pk")
    )
    given: dict[int, list[PromiseEntry]] = {}
    for entry in entries:
        given.setdefault(entry.build_id, []).append(entry)  # newest first
    rows = [_row(entry, given[entry.build_id], zone) for entry in entries]
    fitting = [row for row in rows if filters.kind in ("", row.entry.kind) and _holds(row.entry, filters.text)]
    shown = [row for row in fitting if filters.show in ("", row.outcome)]
    return PromiseLog(
        found=paged(shown, filters.page),
        every=_tally("All windows", fitting),
        tallies=(
            _tally("First window given", [row for row in fitting if row.entry.kind == PromiseEntry.Kind.FIRST]),
            _tally("Last window given", [row for row in fitting if row.standing]),
        ),
        rates=hit_rates(promises_come_due(shop)),
    )


def _row(entry: PromiseEntry, given: Sequence[PromiseEntry], zone: ZoneInfo) -> PromiseRow:
    """One of the windows a build was given, newest first."""
    at = given.index(entry)
    before = given[at + 1] if at + 1 < len(given) else None
    slip = (entry.finish_to - before.finish_to).days if before else None
    moment = finished_at(entry.build)
    if moment is None:
        return PromiseRow(entry=entry, standing=at == 0, slip_days=slip)
    finished = moment.astimezone(zone).date()
    late = max((finished - entry.finish_to).days, 0)
    return PromiseRow(entry=entry, standing=at == 0, slip_days=slip, finished=finished, late_days=late)


def _tally(label: str, rows: Sequence[PromiseRow]) -> Tally:
    ended = [row for row in rows if row.late_days is not None]
    return Tally(label=label, windows=len(ended), kept=_count(row.outcome == KEPT for row in ended))


def _count(truths: Iterable[bool]) -> int:
    return sum(truths)


def _holds(entry: PromiseEntry, text: str) -> bool:
    about = f"{entry.build.number} {entry.build.customer} {entry.build.title} {entry.reason}".casefold()
    return all(word in about for word in text.casefold().split())
