"""A What-if's answer as it is shown: how far it is, and how sure each build's days are, now and then."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.utils import timezone

from shop.models import Build, LineLock, Trial
from shop.selectors.line import open_builds

SILENT = timedelta(seconds=15)  # a worker looks for work every second: after this it is not running (our own choice)
PATIENT = timedelta(minutes=5)  # then a page no longer asks by itself (our own choice)


@dataclass(frozen=True, kw_only=True)
class SureDays:
    """A window and the chance that the promise holds [0..1]; None without a promise."""

    first: date
    last: date
    chance: float | None

    @property
    def percent(self) -> int | None:
        return None if self.chance is None else round(self.chance * 100)


@dataclass(frozen=True, kw_only=True)
class SureRow:
    """One build; None where there is no day."""

    build: Build
    now: SureDays | None
    then: SureDays | None

    @property
    def moves(self) -> bool:
        before, after = ((each.first, each.last) if each else None for each in (self.now, self.then))
        return before != after

    @property
    def less_sure(self) -> bool:
        """The promise is less likely kept than it was."""
        known = self.now and self.then and self.now.chance is not None and self.then.chance is not None
        return bool(known) and self.then.chance < self.now.chance  # type: ignore[union-attr, operator]


@dataclass(frozen=True, kw_only=True)
class TrialPage:
    """`rows` in order of the line, once it is answered. `seconds` since it was asked; `silent` while no worker has
    taken it up for longer than one looks for work; `waits` while the page asks again by itself."""

    trial: Trial
    seconds: int
    silent: bool
    waits: bool
    behind: bool
    samples: int = 0
    few: bool = False
    levels: tuple[float, float] = (0.0, 0.0)
    rows: tuple[SureRow, ...] = ()

    @property
    def moved(self) -> tuple[SureRow, ...]:
        return tuple(row for row in self.rows if row.moves)


def trial_page(public_id: str) -> TrialPage:
    """Raises Trial.DoesNotExist for one that is forgotten."""
    trial = Trial.objects.defer("question").get(public_id=public_id)
    since = timezone.now() - trial.asked_at
    lock = LineLock.objects.filter(pk=1).first()
    page = TrialPage(
        trial=trial,
        seconds=int(since.total_seconds()),
        silent=trial.started_at is None and since > SILENT,
        waits=trial.ended_at is None and since < PATIENT,
        behind=lock is not None and lock.revision != trial.revision,
    )
    return _answered(page, trial.odds) if trial.odds else page


def _answered(page: TrialPage, odds: dict[str, Any]) -> TrialPage:
    builds = {row.number: row for row in open_builds()}
    return TrialPage(
        trial=page.trial,
        seconds=page.seconds,
        silent=False,
        waits=False,
        behind=page.behind,
        samples=odds["samples"],
        few=odds["few"],
        levels=(odds["levels"][0], odds["levels"][1]),
        rows=tuple(
            SureRow(build=builds[number], now=_days(pair[0]), then=_days(pair[1]))
            for number, pair in sorted(odds["builds"].items(), key=lambda item: _place(builds, item[0]))
            if number in builds
        ),
    )


def _place(builds: dict[str, Build], number: str) -> int:
    return (builds[number].place or 0) if number in builds else 0


def _days(told: list[object] | None) -> SureDays | None:
    if told is None:
        return None
    first, last, chance = told
    return SureDays(
        first=date.fromisoformat(str(first)),
        last=date.fromisoformat(str(last)),
        chance=None if chance is None else float(str(chance)),
    )
