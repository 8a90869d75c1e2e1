"""Why not earlier: the likely finish planned anew with one thing otherwise, earlier builds in their places."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from quoting.promise.links import Link, Teller
from quoting.promise.place import NOTHING_SPARE, Spare, lay
from quoting.promise.plan import Outlook, gates_of
from quoting.promise.supply import STOCK
from quoting.promise.words import days_text, mid_sentence, plain
from quoting.promise.work import Pace
from quoting.result import Alternative


def alternatives_of(teller: Teller, outlook: Outlook, links: Sequence[Link]) -> tuple[Alternative, ...]:
    """For a build that is last in line: each deciding part on the shelf, then all of them, one more bench, one more
    person. Each is planned in full; one that would not help says so."""
    return (*_from_parts(teller, outlook, links), *_from_spares(teller, outlook, links))


def _from_parts(teller: Teller, outlook: Outlook, links: Sequence[Link]) -> Iterator[Alternative]:
    coming = {peg.need.code: peg for peg in outlook.pegs if peg.origin != STOCK}
    deciding = [reason.code for reason in outlook.stops if reason.kind == "part"]
    deciding += [link.reason.code for link in links if link.reason.kind == "part"]
    for code in dict.fromkeys(deciding):
        name = mid_sentence(coming[code].name)
        yield from _planned(teller, outlook, "part", code, f"With the {name} on the shelf", frozenset({code}))
    if len(coming) > 1 and deciding:
        yield from _planned(teller, outlook, "part", "", "With every part on the shelf", frozenset(coming))


def _from_spares(teller: Teller, outlook: Outlook, links: Sequence[Link]) -> Iterator[Alternative]:
    for spare in dict.fromkeys(link.spare for link in links if link.spare):
        wished = []
        if spare.bench_type is not None:
            words = plain(spare.bench_type)
            wished.append(f"one more {words if 'bench' in words.lower() else words + ' bench'}")
        if spare.skill is not None:
            wished.append(f"one more person for {plain(spare.skill)}" if spare.skill else "one more person")
        kind, code = ("person", spare.skill or "") if spare.bench_type is None else ("bench", spare.bench_type)
        yield from _planned(teller, outlook, kind, code, f"With {' and '.join(wished)}", frozenset(), spare)


def _planned(
    teller: Teller,
    outlook: Outlook,
    kind: str,
    code: str,
    condition: str,
    on_shelf: frozenset[str],
    spare: Spare = NOTHING_SPARE,
) -> Iterator[Alternative]:
    bearings, floor = teller.bearings, teller.planned.floors[Pace.LIKELY]
    tasks = outlook.tasks[Pace.LIKELY]
    gates = gates_of(floor, bearings, outlook.build, tasks, outlook.pegs, Pace.LIKELY, on_shelf)
    finish = lay(floor, bearings.calendar, outlook.build.number, tasks, gates, {}, bearings.now, spare).finish
    if finish is None:
        return
    gained = (outlook.finish_from - finish).days if outlook.finish_from else None
    if gained is None:
        text = f"{condition}: {teller.day(finish)}."
    elif gained:
        text = f"{condition}: {teller.day(finish)}, {days_text(gained)} earlier."
    else:
        text = f"{condition}: still {teller.day(finish)}."
    yield Alternative(kind=kind, code=code, text=text, finish=finish, days_earlier=gained)
