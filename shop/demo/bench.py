"""Work on the builds: steps started and finished, builds held, and bikes handed over."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from typing import Any

from django.contrib.auth.models import User

from shop.demo.clock import CLOSES, OPENS, Act, Clock
from shop.demo.files import rows, toml
from shop.models import Bench, Build, BuildStep, EntryKind, Method, Person
from shop.selectors.invoices import invoice_owed
from shop.selectors.line import line_rows
from shop.selectors.shop import shop_today
from shop.services.builds import build_hold, build_promise_change
from shop.services.clearing import check_clear
from shop.services.hand_over import build_hand_over
from shop.services.invoices import build_tell_ready, invoice_make
from shop.services.payments import invoice_pay
from shop.services.steps import step_finish, step_start

FINISHES, STARTS, HANDS_OVER, HOLDS, PROMISES, EVENING = 6, 50, 60, 70, 80, 90


@dataclass
class Work:
    """The acts of the work table. `builds` by donor key, filled as deposits are taken; `draw` simulates the shop."""

    clock: Clock
    builds: dict[str, Build]
    owner: User
    people: dict[str, Person]
    benches: dict[str, Bench]
    draw: Callable[[], object]

    def acts(self) -> list[Act]:
        """A start for each row, a finish for those that have one; then handovers and holds. What is finished on the day
        it was started is so in the evening, all else in the morning.
        """
        acts = []
        for row in rows("work.csv"):
            acts.append(Act(int(row["start"]), STARTS, partial(self._start, row)))
            if row["finish"]:
                same_day = row["finish"] == row["start"]
                rank, at = (EVENING, CLOSES) if same_day else (FINISHES, OPENS)
                acts.append(Act(int(row["finish"]), rank, partial(self._finish, row), at))
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
        """The days the owner named, else what is to be expected that day, as the form offers it."""
        self.draw()
        row = next(row for row in line_rows() if row.build == self.builds[entry["donor"]])
        first = self.clock.workday(entry["from"]) if "from" in entry else row.finish_from
        last = self.clock.workday(entry["to"]) if "to" in entry else row.finish_to
        if first is None or last is None:
            raise LookupError(f"{row.build} has no day to promise")
        build_promise_change(
            build=row.build, finish_from=first, finish_to=last, reason=entry["reason"], person=self.owner
        )

    def _hand_over(self, donor: str) -> None:
        """The bike leaves: it is invoiced, its balance paid, its build closed, and those behind it move up."""
        build = self.builds[donor]
        build_tell_ready(build=build, told_on=shop_today(), person=self.owner)
        invoice = invoice_make(build=build, person=self.owner, key=f"demo invoice {donor}")
        owed = invoice_owed(invoice)
        if owed:
            invoice_pay(invoice=invoice, amount=owed, method=Method.BANK, person=self.owner, key=f"demo pay {donor}")
        for entry in build.entries.filter(kind=EntryKind.DEPOSIT, method=Method.CHECKS):
            check_clear(entry=entry, cleared_on=shop_today(), person=self.owner, key=f"demo cleared {entry.number}")
        build_hand_over(build=build, person=self.owner)
