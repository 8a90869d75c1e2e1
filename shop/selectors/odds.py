"""Simulated runs as the worker kept them. Reading them draws nothing and writes nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import lru_cache

from quoting import from_json
from quoting.odds import KeptError, LevelRate, Simulated, engine, from_bytes
from quoting.result import Odds
from shop.models import LineLock, PlanOdds
from shop.selectors.shop import shop_today
from shop.warming import warm_in_background

TENTHS = 10
KEPT_TIMELINES = 2  # of one process: the newest and, for a moment, the one before
HEAD = ("pk", "revision", "made_at", "compiled", "from_level", "to_level")
LINE = (*HEAD, "day", "samples", "rates", "line")


@dataclass(frozen=True, kw_only=True)
class LineOdds:
    """How sure the finish of each open build is, at one revision of the plan.

    `from_level` and `to_level` the levels [%] whose days are shown as a window; `rates` what finished promises say of
    50, 80 and 90 %. `stale` when the plan or the day is another by now. `builds` odds by build number.
    """

    revision: int
    day: date
    made_at: datetime
    samples: int
    from_level: float
    to_level: float
    stale: bool
    rates: tuple[LevelRate, ...]
    builds: Mapping[str, Odds]

    @property
    def few(self) -> bool:
        """Fewer runs than usual, because the fast loops are not there."""
        return any(odds.few for odds in self.builds.values())

    def window(self, number: str) -> tuple[date, date] | None:
        """The days between which a build is to be expected; None without odds."""
        odds = self.builds.get(number)
        return (odds.day_at(self.from_level), odds.day_at(self.to_level)) if odds else None


def kept_words(chance: float) -> str:
    """ "kept in 7 of 10 runs", of the share of runs that are done by a day [0..1]."""
    tenths = int(chance * TENTHS + 0.5)
    return {0: "kept in hardly any run", TENTHS: "kept in nearly every run"}.get(
        tenths, f"kept in {tenths} of {TENTHS} runs"
    )


def line_odds(revision: int | None = None) -> LineOdds | None:
    """The newest odds of the line; None before the worker kept any. `revision` of the plan, when it is at hand."""
    row = PlanOdds.objects.order_by("-revision").values_list(*LINE, named=True).first()
    if row is None:
        return None
    if revision is None:
        lock = LineLock.objects.filter(pk=1).first()
        revision = lock.revision if lock else 0
    return LineOdds(
        revision=row.revision,
        day=row.day,
        made_at=row.made_at,
        samples=row.samples,
        from_level=row.from_level,
        to_level=row.to_level,
        stale=row.revision != revision or row.day != shop_today(),
        rates=tuple(LevelRate(**rate) for rate in row.rates),
        builds={number: from_json(Odds, odds) for number, odds in row.line.items()},
    )


def simulated() -> Simulated | None:
    """The newest timelines, for one more build; None before the worker kept any that can be read."""
    row = PlanOdds.objects.order_by("-revision").values_list(*HEAD, named=True).first()
    if row is None:
        return None
    if row.compiled and not engine().compiled:
        warm_in_background()
    # Plain loops take a tenth of a second for 300 runs: until the fast ones are there, the shorter set is used.
    name = "timelines" if engine().compiled or not row.compiled else "few_timelines"
    kept = kept_timelines(row.pk, row.made_at, name)
    return None if kept is None else replace(kept, from_level=row.from_level, to_level=row.to_level)


@lru_cache(maxsize=KEPT_TIMELINES)
def kept_timelines(pk: int, made_at: datetime, name: str) -> Simulated | None:
    """One column of one row, read once per process with the answers found in it since; `made_at` tells a row from
    another that had its number."""
    kept = PlanOdds.objects.filter(pk=pk, made_at=made_at).values_list(name, flat=True).first()
    if kept is None:
        return None
    try:
        return Simulated(from_bytes(bytes(kept)))
    except KeptError:  # kept by another version of the program: the worker draws them anew
        return None
