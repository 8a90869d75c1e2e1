"""Odds kept for the shop as it stands, drawn by the plain loops with few runs: enough to see where they are used."""

from __future__ import annotations

from datetime import date
from typing import Any

from quoting import to_json
from quoting.result import Odds
from shop.models import Build, LineLock, PlanOdds, PromiseEntry
from shop.services.odds import odds_draw

# A made-up distribution: done by the 10th in half of the runs, by the 16th in four of five, by the 20th in nine of ten.
LEVELS = (5, 50, 80, 90, 99)
DAYS = (date(2026, 3, 4), date(2026, 3, 10), date(2026, 3, 16), date(2026, 3, 20), date(2026, 3, 31))


def draw() -> PlanOdds:
    """Odds of the plan as it stands. Fails where there were some already."""
    row = odds_draw()
    assert row is not None
    return row


def made_odds(**changed: Any) -> Odds:
    values: dict[str, Any] = {"levels": LEVELS, "days": DAYS, "samples": 40, "revision": 1, **changed}
    return Odds(**values)


def keep_line(odds: dict[str, Odds], **changed: Any) -> PlanOdds:
    """Odds of open builds by number, as if they had been drawn at this revision of the plan; no timelines."""
    lock, _ = LineLock.objects.get_or_create(pk=1)
    row = draw()
    values = {"revision": lock.revision, "line": {number: to_json(each) for number, each in odds.items()}, **changed}
    PlanOdds.objects.filter(pk=row.pk).update(**values)
    return PlanOdds.objects.get()


def give_from_odds(build: Build, odds: Odds | None = None, **changed: Any) -> PromiseEntry:
    """A first promise from the 50 % to the 80 % day of a distribution."""
    odds = odds or made_odds()
    values: dict[str, Any] = {
        "finish_from": odds.p50,
        "finish_to": odds.p80,
        "basis": "odds",
        "odds": to_json(odds),
        "from_level": 50.0,
        "to_level": 80.0,
        "revision": 1,
        **changed,
    }
    return PromiseEntry.objects.create(build=build, kind="first", **values)
