"""Why the finish is that day: the chain of causes that leads to it, each step's cause, and one sentence."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal

from quoting.promise.calendar import Calendar
from quoting.promise.links import Link, Teller
from quoting.promise.place import Placed
from quoting.promise.plan import Outlook
from quoting.promise.supply import Peg
from quoting.promise.words import hours_text, mid_sentence
from quoting.promise.work import Pace
from quoting.result import PlannedStep, Reason

CLAUSES = 3  # a headline names the first cause and the longest waits after it (our own choice)


def chain_of(teller: Teller, outlook: Outlook) -> list[Link]:
    """Causes of the likely finish in order of time: walked back from the last step to a part or to today.

    A step starts when a bench and a person are free after its ready time; that is decided by its parts or by the step
    before it. The chain ends at a part, at work under way, or at the first step.
    """
    if outlook.stops:
        return []
    placed = outlook.laid[Pace.LIKELY].placed
    peg = _finish_peg(teller, outlook)
    if peg is not None:
        return teller.part(peg, "")
    back: list[list[Link]] = []
    tail: list[Placed] = []
    step = placed[-1] if placed else None
    while step is not None:
        links, root = _causes(teller, outlook, step)
        if not back and not step.task.outside:
            tail.insert(0, step)
        back.extend(links)
        step = None if root else former_of(placed, step)
    if not any(link.clause for group in back for link in group):
        back.append([_start(teller, outlook)])
    chain = [link for group in reversed(back) for link in group]
    return [*teller.closures(outlook, chain), *_work(teller, outlook, tail)]


def _causes(teller: Teller, outlook: Outlook, step: Placed) -> tuple[list[list[Link]], bool]:
    """What a step waited for, last first, and whether the chain ends there."""
    if step.task.step.started is not None:
        return [[teller.under_way(step)]], True
    back: list[list[Link]] = []
    hold = outlook.holds.get(step.task.index)
    if step.task.outside:
        back.append([teller.outside(step)])
    elif hold is not None:
        back.append([teller.hold(step, hold)])
    peg = part_before(teller, outlook, step)
    if peg is not None:
        back.append(teller.part(peg, step.task.title))
    return back, peg is not None


def former_of(placed: Sequence[Placed], step: Placed) -> Placed | None:
    """The step whose end `step` waits for: the last to end of those before it and those under way."""
    former = [
        other
        for other in placed
        if other is not step and (other.task.index < step.task.index or other.task.step.started is not None)
    ]
    return max(former, key=lambda other: (other.end, other.task.index), default=None)


def part_before(teller: Teller, outlook: Outlook, step: Placed) -> Peg | None:
    """The part that decides when a step is ready, None when the step before it or today does."""
    former = former_of(outlook.laid[Pace.LIKELY].placed, step)
    reached = max(former.end, teller.bearings.now) if former else teller.bearings.now
    return teller.deciding_peg(outlook, step.task.index, step.ready) if step.ready > reached else None


def _finish_peg(teller: Teller, outlook: Outlook) -> Peg | None:
    """The part that decides the finish itself: the last one of a parts kit, or one that came after its step began."""
    placed = outlook.laid[Pace.LIKELY].placed
    ends = max((step.end for step in placed), default=teller.bearings.now)
    calendar = teller.bearings.calendar
    late = [
        peg
        for peg in outlook.pegs
        if peg.step >= len(outlook.build.steps) and peg.arrives and peg.ready and calendar.slot_of_day(peg.ready) > ends
    ]
    return max(late, key=lambda peg: (peg.ready or teller.bearings.today, peg.name), default=None)


def _start(teller: Teller, outlook: Outlook) -> Link:
    """Nothing had to be waited for."""
    hours = sum((task.hours for task in outlook.tasks[Pace.LIKELY]), Decimal(0))
    if not outlook.build.steps:
        clause = "every part is on the shelf" if outlook.pegs else "nothing is left to do"
        return Link(Reason(kind="start", code="", text=f"{clause[0].upper()}{clause[1:]}."), clause)
    day = teller.day(teller.bearings.calendar.day_of(teller.bearings.now))
    reason = Reason(kind="start", code="", text=f"Everything is here; work can start {day}.")
    return Link(reason, f"the work takes {hours_text(hours)} from {day}")


def _work(teller: Teller, outlook: Outlook, tail: Sequence[Placed]) -> list[Link]:
    """The work after the last wait."""
    hours = sum((step.task.hours for step in tail), Decimal(0))
    if not hours or outlook.finish_from is None:
        return []
    first, last = mid_sentence(tail[0].task.title), mid_sentence(tail[-1].task.title)
    span = first if len(tail) == 1 else f"{first} to {last}"
    text = f"Then {hours_text(hours)} of work, {span}, to {teller.day(outlook.finish_from)}."
    return [Link(Reason(kind="step", code=tail[0].task.step.code, text=text, until=outlook.finish_from), "")]


def because(teller: Teller, links: Sequence[Link]) -> str:
    """The longest waits of a chain: "the motor arrives March 20, then wiring waits for the electric bench"."""
    spoken = [link for link in links if link.clause]
    waits = [link for link in spoken if link.waited and link.reason.until != teller.bearings.today]
    longest = sorted(waits, key=lambda link: -link.waited)[: CLAUSES - 1]
    clauses = [link.clause for link in spoken if not link.waited or link in longest] or [spoken[0].clause]
    return ", then ".join(clauses)


def headline(teller: Teller, outlook: Outlook, links: Sequence[Link]) -> str:
    """ "April 12 because the motor arrives March 20, then wiring waits for the electric bench until April 2"."""
    if outlook.finish_from is None or outlook.finish_to is None:
        return f"No date yet. {outlook.blocked}"
    text = f"{teller.day(outlook.finish_from)} because {because(teller, links)}."
    if outlook.finish_to > outlook.finish_from:
        text += f" With slow parts and slow hours {teller.day(outlook.finish_to)}."
    return text


def reasons_of(outlook: Outlook, links: Sequence[Link]) -> tuple[Reason, ...]:
    """The chain as reasons; when blocked, what stops the build."""
    return outlook.stops or tuple(link.reason for link in links)


def planned_steps(teller: Teller, outlook: Outlook) -> tuple[PlannedStep, ...]:
    """The likely plan, step by step, with what each start was decided by."""
    calendar = teller.bearings.calendar
    return tuple(
        PlannedStep(
            code=step.task.step.code,
            label=step.task.title,
            start=_start_of(calendar, step),
            end=calendar.end_of(step.end) if step.task.slots else calendar.start_of(step.end),
            hours=step.task.hours,
            bench=step.bench,
            person=step.person,
            waits_for=_cause(teller, outlook, step),
        )
        for step in outlook.laid[Pace.LIKELY].placed
    )


def _start_of(calendar: Calendar, step: Placed) -> datetime:
    started = step.task.step.started
    return started.astimezone(calendar.zone) if started else calendar.start_of(step.start)


def _cause(teller: Teller, outlook: Outlook, step: Placed) -> str:
    if step.task.step.started is not None:
        return "under way"
    hold = outlook.holds.get(step.task.index)
    if hold is not None and not hold.standing:
        return f"{teller.resource(step, hold)} until {teller.day(teller.bearings.calendar.day_of(hold.until))}"
    peg = part_before(teller, outlook, step)
    if peg is not None and peg.ready:
        return f"{mid_sentence(peg.name)} until {teller.day(peg.ready)}"
    former = former_of(outlook.laid[Pace.LIKELY].placed, step)
    return mid_sentence(former.task.title) if former else ""


def held_now(teller: Teller, outlook: Outlook) -> Reason | None:
    """What the next step of a build waits for; None when it is worked on or can start at once."""
    placed = outlook.laid[Pace.LIKELY].placed
    begun = [step for step in placed if step.task.step.started is not None]
    if begun:
        away = [step for step in begun if step.task.outside]
        return teller.outside(away[-1]).reason if len(away) == len(begun) else None
    if not placed:
        peg = _finish_peg(teller, outlook)
        return teller.part(peg, "")[-1].reason if peg else next(iter(outlook.stops), None)
    hold = outlook.holds.get(placed[0].task.index)
    if hold is not None:
        return teller.hold(placed[0], hold).reason
    peg = part_before(teller, outlook, placed[0])
    return teller.part(peg, placed[0].task.title)[-1].reason if peg else None
