"""Benches and people over one day of the plan, each booking with its build."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from quoting.result import LaneBooking, LanePlan, LinePlan
from shop.models import CLOSED_STATES, Build


@dataclass(frozen=True, kw_only=True)
class LaneWork:
    """A step on a bench or with a person, and its build."""

    booking: LaneBooking
    build: Build


@dataclass(frozen=True, kw_only=True)
class LaneDay:
    """A bench or a person, and what the plan has on it on a day, in order of time."""

    name: str
    works: tuple[LaneWork, ...]


@dataclass(frozen=True, kw_only=True)
class LanesDay:
    """Every bench and every person on a day."""

    benches: tuple[LaneDay, ...]
    people: tuple[LaneDay, ...]

    @property
    def busy(self) -> bool:
        return any(lane.works for lane in (*self.benches, *self.people))


def lanes_day(plan: LinePlan, day: date) -> LanesDay:
    """One query."""
    builds = {row.number: row for row in Build.objects.exclude(state__in=CLOSED_STATES).select_related("customer")}
    return LanesDay(benches=_lanes(plan.benches, day, builds), people=_lanes(plan.people, day, builds))


def _lanes(lanes: Iterable[LanePlan], day: date, builds: dict[str, Build]) -> tuple[LaneDay, ...]:
    return tuple(
        LaneDay(
            name=lane.name,
            works=tuple(
                LaneWork(booking=each, build=builds[each.build]) for each in lane.on(day) if each.build in builds
            ),
        )
        for lane in lanes
    )
