"""One cause at a time in words: the part, the bench, the person, the outside work that a step waits for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from quoting.promise.holds import AWAY, BENCH, BOTH, Hold
from quoting.promise.place import Placed, Spare
from quoting.promise.plan import Bearings, Outlook, PlannedShop
from quoting.promise.supply import ORDER, STOCK, TO_ORDER, Peg
from quoting.promise.words import bench_text, day_text, days_text, hours_text, listed, mid_sentence, person_text
from quoting.promise.work import Pace
from quoting.result import Reason


@dataclass(frozen=True, slots=True)
class Link:
    """A reason, and the clause that stands for it in a headline.

    `waited` slots it took; 0 for a cause that is not a wait. `spare` what would have spared the wait.
    """

    reason: Reason
    clause: str
    waited: int = 0
    spare: Spare | None = None


@dataclass(frozen=True, slots=True)
class Teller:
    """Puts causes of one shop's plan into words."""

    planned: PlannedShop

    @property
    def bearings(self) -> Bearings:
        """The axis and today."""
        return self.planned.bearings

    def day(self, day: date) -> str:
        """A day as written."""
        return day_text(day, self.bearings.today)

    def deciding_peg(self, outlook: Outlook, step: int, slot: int) -> Peg | None:
        """The part that opens `step` at `slot`, or None when something else does."""
        calendar = self.bearings.calendar
        for peg in outlook.pegs:
            if peg.step == step and peg.origin != STOCK and peg.ready and calendar.slot_of_day(peg.ready) == slot:
                return peg
        return None

    def part(self, peg: Peg, step_label: str) -> list[Link]:
        """A part still to come: who has those on the shelf, how long it takes, when it is here."""
        name = mid_sentence(peg.name)
        found: list[Link] = []
        if peg.ahead:
            builds = listed([f"build {number}" for number in peg.ahead])
            text = f"The {name} on the shelf is for {builds}, ahead in line."
            found.append(Link(Reason(kind="earlier", code=peg.ahead[-1], text=text), ""))
        arrives = peg.arrives or self.bearings.today
        if peg.origin == TO_ORDER and peg.lead:
            source = f" from {peg.lead.supplier}" if peg.lead.supplier else ""
            takes = f"takes {days_text(peg.lead.likely_days)}{source}"
            text = f"A new {name} {takes}, ordered {self.day(self.bearings.today)}."
            found.append(Link(Reason(kind="lead", code=peg.need.code, text=text, until=arrives), ""))
        waits = f"; {mid_sentence(step_label)} waits for it" if step_label else ""
        text = f"{self.arrival_text(peg)}{waits}."
        reason = Reason(kind="part", code=peg.need.code, text=text[0].upper() + text[1:], until=peg.ready)
        found.append(Link(reason, f"the {name} arrives {self.day(arrives)}{self._doubt(peg)}"))
        return found

    def arrival_text(self, peg: Peg) -> str:
        """When a part comes, with what is doubtful about it."""
        name = mid_sentence(peg.name)
        if peg.unknown:
            return peg.unknown
        if peg.origin == STOCK or peg.arrives is None:
            return f"the {name} is on the shelf"
        handling = f", ready {self.day(peg.ready)}" if peg.ready and peg.ready != peg.arrives else ""
        if peg.origin == ORDER and peg.incoming:
            receipt = peg.incoming.receipt
            if peg.incoming.late_days:
                late = days_text(peg.incoming.late_days)
                return (
                    f"the {name} on order {receipt.order} is {late} late, not before {self.day(peg.arrives)}{handling}"
                )
            doubt = "" if receipt.expected else f" (the supplier gave no day, so {self._lead_text(peg)} from today)"
            return f"the {name} on order {receipt.order} arrives {self.day(peg.arrives)}{doubt}{handling}"
        return f"the {name} arrives {self.day(peg.arrives)}{handling}"

    def hold(self, step: Placed, hold: Hold) -> Link:
        """A wait for a bench or a person."""
        label = mid_sentence(step.task.title)
        day = self.bearings.calendar.day_of(hold.until)
        waited = hold.until - (step.start if hold.standing else step.ready)
        busy = f"; {listed([f'build {number}' for number in hold.builds])} is first" if hold.builds else ""
        if hold.standing:
            clause = f"{label} stands still while {hold.lane} is away until {self.day(day)}"
        else:
            away = ", who is away," if hold.kind == AWAY else ""
            clause = f"{label} waits for {self.resource(step, hold)}{away} until {self.day(day)}"
            if hold.kind == BENCH and not hold.builds:
                busy = f"; {hold.lane} is down"
        spare = Spare(
            bench_type=step.task.step.bench_type if hold.kind in {BENCH, BOTH} else None,
            skill=None if hold.kind == BENCH else step.task.step.skill,
        )
        kind = "person" if spare.bench_type is None else "bench"
        text = f"{clause[0].upper()}{clause[1:]}{busy}."
        return Link(Reason(kind=kind, code=hold.lane, text=text, until=day), clause, waited, spare)

    def resource(self, step: Placed, hold: Hold) -> str:
        """The bench or person a step waits for, or both."""
        floor = self.planned.floors[Pace.LIKELY]
        if hold.kind == AWAY:
            return hold.lane
        asked = step.task.step
        bench = bench_text(asked.bench_type, len(floor.benches_of(asked.bench_type)))
        person = person_text(asked.skill, [lane.name for lane in floor.people_for(asked.skill)])
        return {BENCH: bench, BOTH: f"{bench} and {person}"}.get(hold.kind, person)

    def outside(self, step: Placed) -> Link:
        """Outside work."""
        label = mid_sentence(step.task.title)
        back = self.bearings.calendar.day_of(step.end)
        clause = f"{label} is away until {self.day(back)}"
        text = f"{label} is outside work of {days_text(step.task.step.lead_days)}, back {self.day(back)}."
        reason = Reason(kind="lead", code=step.task.step.code, text=text[0].upper() + text[1:], until=back)
        return Link(reason, clause, step.end - step.start)

    def under_way(self, step: Placed) -> Link:
        """Work that has been started."""
        label = mid_sentence(step.task.title)
        if step.task.outside:
            return self.outside(step)
        clause = f"{label} is under way with {hours_text(step.task.hours)} left"
        reason = Reason(kind="step", code=step.task.step.code, text=f"{clause[0].upper()}{clause[1:]}.")
        return Link(reason, clause)

    def closures(self, outlook: Outlook, links: Sequence[Link]) -> list[Link]:
        """The links with the shop's closed days put in between, where they lie between the first cause and the finish.

        Days on which the shop would not open anyway are left out.
        """
        told = list(links)
        if outlook.finish_from is None:
            return told
        begin = next((link.reason.until for link in links if link.reason.kind == "part"), None) or self.bearings.today
        for span in self.bearings.calendar.closures(begin, outlook.finish_from):
            days = self.day(span.last)
            if span.first < span.last:
                days = f"{self.day(span.first)} to {days}"
            why = f" ({span.reason})" if span.reason else ""
            reason = Reason(kind="closed", code=span.reason, text=f"The shop is closed {days}{why}.", until=span.last)
            later = (at for at, link in enumerate(told) if link.reason.until and link.reason.until > span.last)
            told.insert(next(later, len(told)), Link(reason, ""))
        return told

    def _lead_text(self, peg: Peg) -> str:
        return days_text(peg.lead.likely_days) if peg.lead else "a lead time not known"

    def _doubt(self, peg: Peg) -> str:
        if peg.incoming and peg.incoming.late_days:
            return " at the earliest (its order is late)"
        return ""
