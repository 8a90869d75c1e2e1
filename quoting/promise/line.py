"""The whole line: each open build's finish, what it waits for, its parts, and what stands on each bench."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime

from quoting.errors import CalendarError
from quoting.promise.explain import chain_of, headline, held_now, planned_steps, reasons_of
from quoting.promise.links import Teller
from quoting.promise.orders import part_promise, part_promises
from quoting.promise.plan import Outlook, PlannedShop, prepare_shop
from quoting.promise.work import Pace
from quoting.request import OpenBuild, Policies, ShopState
from quoting.result import BuildPlan, LaneBooking, LanePlan, LinePlan, Move

ON_HOLD = "On hold; it keeps its place and its parts and is not planned."


def plan_line(shop: ShopState, now: datetime, day: date, policies: Policies) -> LinePlan:
    """Plan every open build as the shop stands.

    Parameters: `now` aware moment work goes on from; `day` the day orders go out. Returns: the line; with a calendar
    that has no open time, every build without a date and the remedy in `blocked`.
    """
    try:
        planned = prepare_shop(shop, now, day, policies)
    except CalendarError as error:
        line = sorted(shop.builds, key=lambda build: (build.place, build.number))
        stopped = tuple(replace(_bare(build), blocked=str(error), headline=f"No date yet. {error}") for build in line)
        return LinePlan(builds=stopped, revision=shop.revision, blocked=str(error))
    return line_of(planned)


def line_of(planned: PlannedShop) -> LinePlan:
    """The line of a planned shop."""
    teller = Teller(planned)
    working = [_build_plan(teller, outlook) for outlook in planned.outlooks]
    resting = [
        replace(
            _bare(build),
            on_hold=True,
            headline=ON_HOLD,
            parts=tuple(part_promise(build, peg) for peg in planned.on_hold[build.number]),
        )
        for build in planned.shop.builds
        if build.on_hold
    ]
    bookings = _bookings(planned.outlooks, working)
    return LinePlan(
        builds=tuple(sorted(working + resting, key=lambda plan: (plan.place, plan.number))),
        benches=tuple(
            LanePlan(
                name=bench.name,
                group=bench.bench_type,
                bookings=tuple(booking for booking in bookings if booking.bench == bench.name),
            )
            for bench in planned.shop.benches
        ),
        people=tuple(
            LanePlan(name=person.name, bookings=tuple(each for each in bookings if each.person == person.name))
            for person in planned.shop.people
        ),
        revision=planned.shop.revision,
    )


def _bare(build: OpenBuild) -> BuildPlan:
    return BuildPlan(
        number=build.number, place=build.place, promised_from=build.promised_from, promised_to=build.promised_to
    )


def _build_plan(teller: Teller, outlook: Outlook) -> BuildPlan:
    build, finish = outlook.build, outlook.finish_to
    links = chain_of(teller, outlook)
    late = max((finish - build.promised_to).days, 0) if finish and build.promised_to else None
    return replace(
        _bare(build),
        finish_from=outlook.finish_from,
        finish_to=finish,
        late_days=late,
        blocked=outlook.blocked,
        headline=headline(teller, outlook, links),
        held=held_now(teller, outlook),
        reasons=reasons_of(outlook, links),
        steps=planned_steps(teller, outlook),
        parts=part_promises(teller.planned, outlook, build.promised_to),
    )


def _bookings(outlooks: Sequence[Outlook], plans: Sequence[BuildPlan]) -> list[LaneBooking]:
    bookings = [
        LaneBooking(
            build=plan.number,
            step=step.code,
            label=step.label,
            start=step.start,
            end=step.end,
            bench=step.bench,
            person=step.person,
            under_way=placed.task.step.started is not None,
        )
        for outlook, plan in zip(outlooks, plans, strict=True)
        for placed, step in zip(outlook.laid[Pace.LIKELY].placed, plan.steps, strict=True)
        if step.bench or step.person
    ]
    return sorted(bookings, key=lambda booking: (booking.start, booking.build))


def with_receipt_dates(shop: ShopState, days: Mapping[str, date | None]) -> ShopState:
    """The shop with other expected days for some orders, by order number: what a supplier's delay would do.

    Use with `plan_line` and `moves_between`; None when the supplier takes the day back.
    """
    receipts = tuple(
        replace(receipt, expected=days[receipt.order]) if receipt.order in days else receipt
        for receipt in shop.receipts
    )
    return replace(shop, receipts=receipts)


def moves_between(before: LinePlan, after: LinePlan) -> tuple[Move, ...]:
    """The builds whose window differs between two plans, in order of the line."""
    moves = []
    for new in after.builds:
        old = before.build(new.number)
        if old is None or (old.finish_from, old.finish_to) == (new.finish_from, new.finish_to):
            continue
        promised = new.promised_to
        held = bool(promised and old.finish_to and old.finish_to <= promised)
        holds = bool(promised and new.finish_to and new.finish_to <= promised)
        moves.append(
            Move(
                number=new.number,
                from_before=old.finish_from,
                from_after=new.finish_from,
                to_before=old.finish_to,
                to_after=new.finish_to,
                breaks=held and not holds,
            )
        )
    return tuple(moves)
