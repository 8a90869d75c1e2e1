"""What holds up a step that could have started earlier: the bench, the person, or the person's leave."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from quoting.promise.lanes import Booking, Floor
from quoting.promise.place import Laid, Placed, Spare, best

BENCH, PERSON, AWAY, BOTH = "bench", "person", "away", "both"


@dataclass(frozen=True, slots=True)
class Hold:
    """A wait of a step. `kind` bench, person, away, or both when neither alone would have helped.

    `lane` the bench or person waited for, the bench of both; `until` slot. `builds` whose steps hold the lane at the
    end of the wait. `standing` when the step had started and stands still.
    """

    kind: str
    lane: str
    until: int
    builds: tuple[str, ...] = ()
    standing: bool = False


def holds_of(floor: Floor, laid: Laid) -> Mapping[int, Hold]:
    """The hold of each step that waits beyond its ready time or stands still, by index.

    `floor` as it was when the build was laid: with the builds before it and without itself.
    """
    holds: dict[int, Hold] = {}
    for step in laid.placed:
        if not step.task.slots or step.task.step.started is not None:
            continue
        if step.start > step.ready:
            holds[step.task.index] = _wait(floor, step)
        elif step.end - step.start > step.task.slots:
            holds[step.task.index] = Hold(AWAY, step.person, _last_leave(floor, step), standing=True)
    return holds


def _wait(floor: Floor, step: Placed) -> Hold:
    """Which one decides: the end with a bench always free against the end with a person always free."""
    person = floor.people[step.person]
    if step.bench:
        with_bench = _end(floor, step, Spare(bench_type=step.task.step.bench_type))
        with_person = _end(floor, step, Spare(skill=step.task.step.skill))
        if with_bench <= with_person:
            kind = BENCH if with_bench < step.end else BOTH
            holder = floor.benches[step.bench].holder(step.ready, step.start)
            return Hold(kind, step.bench, step.start, _builds(holder))
    leave = person.away.covering(step.start - 1)
    if leave is not None:
        return Hold(AWAY, step.person, step.start)
    return Hold(PERSON, step.person, step.start, _builds(person.holder(step.ready, step.start)))


def _end(floor: Floor, step: Placed, spare: Spare) -> int:
    found = best(floor, step.task, step.ready, spare)
    return found[1] if found else step.end


def _last_leave(floor: Floor, step: Placed) -> int:
    away = floor.people[step.person].away
    return max(end for start, end in away if start < step.end and end > step.start)


def _builds(holder: Booking | None) -> tuple[str, ...]:
    return (holder.build,) if holder else ()
