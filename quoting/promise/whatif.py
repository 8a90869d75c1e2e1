"""What if: one thing otherwise, the line planned anew, and its odds drawn with the same random numbers.

Nothing is applied here. The random numbers belong to orders and steps, so what differs between the two sets of windows
is the change and not luck.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from quoting.promise.changes import Change, changed_shop
from quoting.promise.odds.dice import Dice
from quoting.promise.odds.engine import Engine
from quoting.promise.odds.line import simulate_line
from quoting.promise.plan import PlannedShop, prepare_shop
from quoting.request import Policies, ShopState
from quoting.result import Odds


@dataclass(frozen=True, kw_only=True)
class Shift:
    """One build before and after. `promised_to` the day promised; `kept_before` and `kept_after` whether the planned
    window ends by it, None when nothing is promised; the chances [0..1] are those of the odds."""

    number: str
    place_before: int
    place_after: int
    plan_before: tuple[date | None, date | None]
    plan_after: tuple[date | None, date | None]
    odds_before: Odds | None = None
    odds_after: Odds | None = None
    promised_to: date | None = None
    kept_before: bool | None = None
    kept_after: bool | None = None

    @property
    def moves(self) -> bool:
        """Whether the planned window or the simulated one differs."""
        return self.plan_before != self.plan_after or window_of(self.odds_before) != window_of(self.odds_after)

    @property
    def breaks(self) -> bool:
        """A promise that was kept and no longer is."""
        return bool(self.kept_before) and self.kept_after is False


@dataclass(frozen=True, kw_only=True)
class WhatIf:
    """The change, every build in line before and after it, and the shop as it would be."""

    change: Change
    shifts: tuple[Shift, ...]
    shop: ShopState
    revision: int

    @property
    def moved(self) -> tuple[Shift, ...]:
        """The builds it moves."""
        return tuple(shift for shift in self.shifts if shift.moves)


def window_of(odds: Odds | None) -> tuple[date, date] | None:
    """P50 and P80."""
    return (odds.p50, odds.p80) if odds else None


def what_if(
    shop: ShopState,
    change: Change,
    now: datetime,
    day: date,
    policies: Policies,
    dice: Dice | None = None,
    before: Mapping[str, Odds] | None = None,
    loops: Engine | None = None,
) -> WhatIf:
    """Every build's window as it is and with one thing otherwise.

    Parameters: `dice` None for a live preview by the plan alone; `before` odds by build drawn earlier with the same
    dice and revision, to save drawing them again. Raises: RequestError naming the field; CalendarError.
    """
    other = changed_shop(shop, change)
    old, new = prepare_shop(shop, now, day, policies), prepare_shop(other, now, day, policies)
    old_odds: Mapping[str, Odds] = {}
    new_odds: Mapping[str, Odds] = {}
    if dice is not None:
        old_odds = before if before is not None else simulate_line(old, dice, loops)
        new_odds = simulate_line(new, dice, loops)
    old_plans, new_plans = _windows(old), _windows(new)
    promised = {build.number: build.promised_to for build in shop.builds}
    places = {build.number: build.place for build in other.builds}
    shifts = tuple(
        Shift(
            number=build.number,
            place_before=build.place,
            place_after=places[build.number],
            plan_before=old_plans[build.number],
            plan_after=new_plans[build.number],
            odds_before=old_odds.get(build.number),
            odds_after=new_odds.get(build.number),
            promised_to=promised[build.number],
            kept_before=_kept(old_plans[build.number][1], promised[build.number]),
            kept_after=_kept(new_plans[build.number][1], promised[build.number]),
        )
        for build in sorted(shop.builds, key=lambda build: (build.place, build.number))
        if build.number in old_plans
    )
    return WhatIf(change=change, shifts=shifts, shop=other, revision=shop.revision)


def _windows(planned: PlannedShop) -> dict[str, tuple[date | None, date | None]]:
    return {each.build.number: (each.finish_from, each.finish_to) for each in planned.outlooks}


def _kept(finish: date | None, promised: date | None) -> bool | None:
    return None if promised is None else finish is not None and finish <= promised
