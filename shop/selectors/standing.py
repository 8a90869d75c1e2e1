"""When a build that stands in line is done, as the shop is now: by runs of its own place in the line where they are."""

from __future__ import annotations

from datetime import date

from quoting.errors import CalendarError
from quoting.odds import Simulated, told_standing
from quoting.promise import prepare_shop, standing
from quoting.result import Promise
from shop.selectors.plan import plan_basis

Window = tuple[date | None, date | None]
NO_WINDOW: Window = (None, None)


def standing_promise(number: str, runs: Simulated | None) -> Promise | None:
    """The promise of an open build by its number; None for a closed one, or where there is no open time."""
    state, now, policies = plan_basis()
    if all(each.number != number for each in state.builds):
        return None
    try:
        planned = prepare_shop(state, now, now.date(), policies)
    except CalendarError:
        return None
    return told_standing(planned, number, standing(planned, number), runs)


def window_like(own: Promise | None, other: Promise | None) -> Window:
    """The window of a promise that can be held against another: both of the plan, or both of runs; else none."""
    if own is None or other is None:
        return NO_WINDOW
    if other.odds is None and own.odds is not None:
        return own.planned_from, own.planned_to
    if other.odds is not None and own.odds is None:
        return NO_WINDOW
    return own.finish_from, own.finish_to


def new_window(promised: Window, without: Window, expected: Window) -> Window:
    """The window a change order promises.

    The promise moves by as much as the change moves the plan, so that a build that is ahead or behind stays so; but it
    never ends before what is to be expected. Without a promise so far, or a plan, what is to be expected.
    """
    from_, to = expected
    if from_ is None or to is None:
        return None, None
    if promised[0] is None or promised[1] is None or without[0] is None or without[1] is None:
        return expected
    last = max(promised[1] + (to - without[1]), to)
    first = min(max(promised[0] + (from_ - without[0]), from_), last)
    return first, last
