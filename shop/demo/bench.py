"""Work on the builds: steps started and finished, builds held, and bikes handed over."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from shop.demo.clock import Act, Clock
from shop.demo.files import rows, toml
from shop.models import Bench, Build, BuildState, BuildStep, Person
from shop.services.builds import build_hold, build_promise_change, open_build
from shop.services.events import event_write
from shop.services.line_lock import line_lock
from shop.services.places import line_in_order, places_give
from shop.services.steps import step_finish, step_start

FINISHES, STARTS, HANDS_OVER, HOLDS, PROMISES = 6, 50, 60, 70, 80


@dataclass
class Work:
    """The acts of the work table. `builds` by donor key, filled as deposits are taken."""

    clock: Clock
    builds: dict[str, Build]
    owner: User
    people: dict[str, Person]
    benches: dict[str, Bench]

    def acts(self) -> list[Act]:
        """A start for each row, a finish for those that have one; then handovers and holds."""
        acts = []
        for row in rows("work.csv"):
            acts.append(Act(int(row["start"]), STARTS, partial(self._start, row)))
            if row["finish"]:
                acts.append(Act(int(row["finish"]), FINISHES, partial(self._finish, row)))
        found = toml("line.toml")
        leaving = found["handed_over"].items()
        acts += [Act(away, HANDS_OVER, partial(self._hand_over, donor)) for donor, away in leaving]
        acts += [Act(entry["day"], HOLDS, partial(self._hold, entry)) for entry in found["on_hold"]]
        acts += [Act(entry["day"], PROMISES, partial(self._promise, entry)) for entry in found["promised_anew"]]
        return acts

    def _step(self, row: dict[str, str]) -> BuildStep:
        return BuildStep.objects.get(build=self.builds[row["build"]], code=row["step"])

    def _start(self, row: dict[str, str]) -> None:
        worker = self.people[row["person"]] if row["person"] else None
        bench = self.benches[row["bench"]] if row["bench"] else None
        step_start(step=self._step(row), person=self._signed_in(worker), worker=worker, bench=bench)

    def _finish(self, row: dict[str, str]) -> None:
        worker = self.people[row["person"]] if row["person"] else None
        hours = Decimal(row["hours"]) if row["hours"] else None
        step_finish(step=self._step(row), person=self._signed_in(worker), worked_h=hours)

    def _signed_in(self, worker: Person | None) -> User:
        """Who has no sign-in of their own is booked by the owner."""
        return worker.user if worker and worker.user else self.owner

    def _hold(self, entry: dict[str, str]) -> None:
        build_hold(build=self.builds[entry["donor"]], reason=entry["reason"], person=self.owner)

    def _promise(self, entry: dict[str, Any]) -> None:
        build_promise_change(
            build=self.builds[entry["donor"]],
            finish_from=self.clock.day(entry["from"]),
            finish_to=self.clock.day(entry["to"]),
            reason=entry["reason"],
            person=self.owner,
        )

    def _hand_over(self, donor: str) -> None:
        """The bike leaves: its build is closed, those behind it move up."""
        with line_lock():
            row = open_build(self.builds[donor])
            if row.state != BuildState.READY or row.finished_at is None:
                raise LookupError(f"{row} of {donor} is {row.get_state_display().lower()}, not ready")
            row.state, row.place, row.handed_over_at = BuildState.HANDED_OVER, None, timezone.now()
            row.save(update_fields=["state", "place", "handed_over_at"])
            event_write(person=self.owner, verb="handed over", subject=row.number, build=row)
            places_give(line_in_order(), person=self.owner, reason=f"{row} was handed over.")
