"""The counter's answer: one more build, last in line, or one that runs and is changed; and when it is done."""

from __future__ import annotations

from quoting.errors import CalendarError, FieldProblem, RequestError
from quoting.promise.alternatives import alternatives_of
from quoting.promise.explain import chain_of, headline, planned_steps, reasons_of
from quoting.promise.holds import holds_of
from quoting.promise.links import Teller
from quoting.promise.orders import part_promises
from quoting.promise.place import lay
from quoting.promise.plan import Outlook, PlannedShop, gates_of, prepare
from quoting.promise.work import SLOW_PERCENTILE, Pace, build_of, tasks_of
from quoting.request import Option, QuoteRequest
from quoting.result import Promise

METHOD = (
    "Planned last in line behind {ahead} open {builds} that do not move, in opening hours and around leave, bench "
    "downtime and deliveries; parts go to builds in the order of the line. The first day takes likely hours and likely "
    "lead times. The last day is the same plan with slow parts and slow hours for every build: each step's hours at "
    "the {percentile}th percentile of its own estimate, parts to order at their high lead time, orders on their way "
    "late by the difference between high and likely. How often either day is kept is not claimed."
)

STANDING = (
    "Planned in its own place {place} of the line with what is left to do, in opening hours and around leave, bench "
    "downtime and deliveries; builds ahead do not move. The first day takes likely hours and likely lead times, the "
    "last day the {percentile}th percentile of each step's estimate and slow deliveries. How often either day is kept "
    "is not claimed."
)
HELD = "{number} is on hold and is not planned. Release it first."


def work_out_promise(request: QuoteRequest, option: Option) -> Promise:
    """When an option would be finished if it were accepted now.

    Returns: the promise; `blocked` with the remedy when there can be no day, also for a calendar without open time.
    """
    try:
        planned = prepare(request)
    except CalendarError as error:
        place = max((build.place for build in request.shop.builds), default=0) + 1
        return Promise(
            place=place,
            finish_from=None,
            finish_to=None,
            blocked=str(error),
            headline=f"No date yet. {error}",
            revision=request.shop.revision,
        )
    return standing(planned, request.changes) if request.changes else insert(planned, option)


def standing(planned: PlannedShop, number: str) -> Promise:
    """When a build that is in line already is finished, from its own place: what a change order to it promises.

    Parameters: `number` of a build in the planned shop, its steps and needs as they would be. Returns: the promise,
    without what-ifs; `blocked` for a build on hold. Raises: RequestError for a build the shop has not.
    """
    build = next((each for each in planned.shop.builds if each.number == number), None)
    if build is None:
        text = f"'{number}' is not in line."
        raise RequestError((FieldProblem("changes", text, "Name an open build of shop.builds, or none."),))
    outlook = next((each for each in planned.outlooks if each.build.number == number), None)
    if outlook is None:
        return Promise(
            place=build.place,
            finish_from=None,
            finish_to=None,
            blocked=HELD.format(number=number),
            headline=f"No date yet. {HELD.format(number=number)}",
            revision=planned.shop.revision,
        )
    teller = Teller(planned)
    links = chain_of(teller, outlook)
    return Promise(
        place=build.place,
        finish_from=outlook.finish_from,
        finish_to=outlook.finish_to,
        blocked=outlook.blocked,
        headline=headline(teller, outlook, links),
        reasons=reasons_of(outlook, links),
        steps=planned_steps(teller, outlook),
        parts=part_promises(planned, outlook),
        revision=planned.shop.revision,
        method=STANDING.format(place=build.place, percentile=SLOW_PERCENTILE),
    )


def insert(planned: PlannedShop, option: Option) -> Promise:
    """Put one option last in a planned line and tell when it is finished. Nothing planned moves."""
    outlook = outlook_of(planned, option)
    if not outlook.build.steps and not outlook.pegs:
        return _promise(planned, outlook, "There is nothing to plan yet. Add parts or steps.")
    return _promise(planned, outlook)


def outlook_of(planned: PlannedShop, option: Option, holds: bool = True) -> Outlook:
    """An option planned behind everything in line, at both paces; `holds` False leaves out what held its steps up."""
    bearings = planned.bearings
    build = build_of(option, planned.job, planned.next_place)
    pegs = planned.shelf.copy().peg(build)
    tasks = {pace: tasks_of(build, pace) for pace in Pace}
    laid = {
        pace: lay(
            floor,
            bearings.calendar,
            build.number,
            tasks[pace],
            gates_of(floor, bearings, build, tasks[pace], pegs, pace),
            {},
            bearings.now,
        )
        for pace, floor in planned.floors.items()
    }
    held = holds_of(planned.floors[Pace.LIKELY], laid[Pace.LIKELY]) if holds else {}
    return Outlook(build, pegs, tasks, laid, held)


def _promise(planned: PlannedShop, outlook: Outlook, empty: str = "") -> Promise:
    teller = Teller(planned)
    links = [] if empty else chain_of(teller, outlook)
    return Promise(
        place=planned.next_place,
        finish_from=None if empty else outlook.finish_from,
        finish_to=None if empty else outlook.finish_to,
        blocked=empty or outlook.blocked,
        headline=f"No date yet. {empty}" if empty else headline(teller, outlook, links),
        reasons=reasons_of(outlook, links),
        steps=planned_steps(teller, outlook),
        parts=part_promises(planned, outlook),
        alternatives=() if empty else alternatives_of(teller, outlook, links),
        revision=planned.shop.revision,
        method=method_text(planned),
    )


def method_text(planned: PlannedShop) -> str:
    """How the days were found."""
    count = len(planned.outlooks)
    return METHOD.format(ahead=count, builds="build" if count == 1 else "builds", percentile=SLOW_PERCENTILE)
