"""What a finish window was taken from, for its entry in the promise log."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from quoting import to_json
from quoting.result import Odds, Promise
from shop.models import PromiseEntry
from shop.selectors.odds import line_odds
from shop.selectors.plan import line_plan

Basis = PromiseEntry.Basis
WHOLE = 100  # [%]


def promise_basis(promise: Promise, window: tuple[date, date] | None = None) -> dict[str, Any]:
    """The whole distribution, or that there was none. `window` the days given, where they are not the promise's own:
    then the levels are those the days really have.
    """
    if promise.odds is None:
        return {"basis": Basis.PLAN}
    basis = Basis.OLD_ODDS if promise.odds.stale else Basis.ODDS
    if window is None or window == (promise.finish_from, promise.finish_to):
        from_level, to_level = promise.levels
        return {"basis": basis, "odds": to_json(promise.odds), "from_level": from_level, "to_level": to_level}
    return {"basis": basis, **_known(promise.odds, *window)}


def named_basis(number: str, window: tuple[date, date], revision: int) -> dict[str, Any]:
    """Of days entered for a build in line: the runs' or the plan's where they are theirs, else the person's own.

    What the newest runs say of the days is kept beside them. `revision` of the plan before the change that is made.
    """
    line = line_odds(revision)
    odds = line.builds.get(number) if line else None
    if line is None or odds is None:
        own = line_plan().build(number)
        is_planned = own is not None and window == (own.finish_from, own.finish_to)
        return {"basis": Basis.PLAN if is_planned else Basis.PERSON}
    odds = replace(odds, stale=line.stale)
    if window != line.window(number):
        return {"basis": Basis.PERSON, **_known(odds, *window)}
    basis = Basis.OLD_ODDS if line.stale else Basis.ODDS
    return {"basis": basis, "odds": to_json(odds), "from_level": line.from_level, "to_level": line.to_level}


def _known(odds: Odds, first: date, last: date) -> dict[str, Any]:
    from_level, to_level = (WHOLE * odds.chance_by(day) for day in (first, last))
    return {"odds": to_json(odds), "from_level": from_level, "to_level": to_level}
