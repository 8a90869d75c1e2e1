"""Days counted from the day the demo is loaded, and acts done at moments of the past."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.utils import timezone

ZONE = ZoneInfo("America/New_York")  # the demo shop's, as premises.toml says
OPENS, CLOSES = time(8, 45), time(16, 15)
BETWEEN_ACTS = timedelta(minutes=7)
SATURDAY = 5


@dataclass(frozen=True)
class Act:
    """Something the shop did, so many days before the demo is loaded. Acts of one day run in order of `rank`, none
    before `at`."""

    away: int
    rank: int
    do: Callable[[], None]
    at: time = OPENS


@dataclass(frozen=True)
class Clock:
    """The day the demo is loaded; everything in it lies so many days before or after."""

    today: date

    def day(self, away: int) -> date:
        return self.today + timedelta(days=away)

    def workday(self, away: int) -> date:
        """That day, or the Friday before when it is a Saturday or Sunday: the order of days stays."""
        day = self.day(away)
        return day - timedelta(days=max(day.weekday() - SATURDAY + 1, 0))

    def play(self, acts: list[Act]) -> None:
        """Do the acts in order, each at its own moment, so that all they write carries that moment."""
        last: datetime | None = None
        for act in sorted(acts, key=lambda act: (act.away, act.rank)):
            moment = datetime.combine(self.workday(act.away), act.at, tzinfo=ZONE)
            if last is not None and moment <= last:
                moment = last + BETWEEN_ACTS
            with moment_is(moment):
                act.do()
            last = moment

    @contextmanager
    def on(self, away: int) -> Iterator[None]:
        """Whatever is done inside is done on the morning of that day."""
        with moment_is(datetime.combine(self.workday(away), OPENS, tzinfo=ZONE)):
            yield


@contextmanager
def moment_is(moment: datetime) -> Iterator[None]:
    """Let the application's clock stand at a moment. For loading the demo's past, and for nothing else."""
    real = timezone.now
    setattr(timezone, "now", lambda: moment)  # noqa: B010 - the one clock Django and all our services read
    try:
        yield
    finally:
        setattr(timezone, "now", real)  # noqa: B010
