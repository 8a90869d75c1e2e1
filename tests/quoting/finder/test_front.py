"""The finder's front is the front: held against every set of small catalogues, worked out one by one by quote().

`buildable` is every set that quote() does not stop, from tests/quoting/finder/catalogues.py.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

import pytest

from quoting.finder import Break, BuildSet, FinderRequest, Store, find_sets
from quoting.finder.bench import bench_of
from quoting.finder.grow import grow
from quoting.finder.look import merit_of
from quoting.finder.wished import missed, reached, wishes_made
from quoting.finder.worth import worth_of
from quoting.promise import prepare
from quoting.request import Wishes
from tests.quoting.finder.catalogues import Forced, Merit, asked, forced, front_of, part, slot, slots_of

AT_HOME = Wishes(circuit_v=120.0, circuit_a=20.0)
LEADS = {
    "M1": 45,
    "M2": 10,
    "C1": 20,
    "C2": 20,
    "E1": 30,
    "E2": 12,
    "H1": 5,
    "H2": 5,
    "F1": 5,
    "F2": 5,
    "MM": 9,
    "T2": 40,
}


def hub_catalogue() -> FinderRequest:
    """Hub motors; a controller that cannot read them; a fuse that holds the current back; cells with price breaks."""
    slots, kept = slots_of(
        slot(
            "motor",
            part("M1", "M-EX", "1890"),
            part("M2", "M-EX", "2450", cont_kw=10, peak_kw=20, mass_kg=25, max_v=100),
        ),
        slot(
            "controller",
            part("C1", "C-EX", "880"),
            part("C2", "C-EX", "1100", battery_cont_a=180, battery_peak_a=260),
            part("C3", "C-EX", "500", rotor_sensors=["resolver"]),
        ),
        slot("charger", part("H1", "CH-EX", "420"), part("H2", "CH-EX", "300", power_w=900, output_a=11, mass_kg=2.5)),
        slot("fuse", part("F1", "F-EX", "32"), part("F2", "F-EX", "30", rating_a=150)),
    )
    stores = (
        Store(line=part("E1", "CELL-EX", "5.40"), breaks=(Break(from_quantity=221, unit_price=Decimal("5.05")),)),
        Store(line=part("E2", "CELL-EX", "6.10", capacity_ah=5.0, cont_a=12)),
    )
    return asked(slots, stores, kept, series=(19, 21), parallel=(11, 12), leads=LEADS, wishes=AT_HOME)


def box_catalogue() -> FinderRequest:
    """A mid motor that needs its chain, a box too small for most packs, a charger too long for the bays, an axle that
    the heaviest packs overload, throttles that beat each other.
    """
    mid = {"mount": "mid", "kv_rpm_per_v": 60, "max_rpm": 6000, "torque_nm_per_a": 0.16, "peak_torque_nm": 55}
    chain = {"motor_teeth": 14, "wheel_teeth": 62, "chain_pitch": "520", "efficiency": 0.96, "mass_kg": 3}
    fitted = {"chain_pitch": "520", "sprocket_low": 11, "sprocket_high": 18}
    base = part("FD", "T-EX", "210")
    drive = replace(base, kind="final_drive", spec=chain)
    slots, kept = slots_of(
        slot("motor", part("M1", "M-EX", "1890"), part("MM", "M-EX", "1700", **mid, **fitted)),
        slot("controller", part("C1", "C-EX", "880")),
        slot("final drive", drive, may_be_empty=True),
        slot("enclosure", part("B1", "BX-EX", "260"), part("B2", "BX-EX", "190", inner_height_mm=80, mass_kg=3.5)),
        slot("charger", part("H1", "CH-EX", "420"), part("H3", "CH-EX", "250", length_mm=600)),
        slot("throttle", part("T1", "T-EX", "48"), part("T2", "T-EX", "52"), part("T3", "T-EX", "45", signal="bus")),
    )
    stores = (Store(line=part("E1", "CELL-EX", "5.40")),)
    plate = {"gawr_rear_kg": 158.0}
    return asked(slots, stores, kept, series=(20, 20), parallel=(9, 13), leads=LEADS, donor=plate, wishes=AT_HOME)


@dataclass(frozen=True)
class Case:
    question: FinderRequest
    buildable: list[Forced]


@pytest.fixture(scope="module", params=[hub_catalogue, box_catalogue], ids=["hub", "box"])
def case(request: pytest.FixtureRequest) -> Case:
    question = request.param()
    return Case(question, forced(question))


def merits(sets: Iterable[BuildSet]) -> set[Merit]:
    return {
        merit_of(float(each.result.price.due), each.worst_km, each.held_kmh, each.weight_kg, each.finish)
        for each in sets
    }


def town_km(each: Forced | BuildSet) -> float:
    """Likely range in town, which every bike here can hold [km]."""
    assert each.result.ride is not None
    return next(profile.likely_km for profile in each.result.ride.profiles if profile.profile == "town")


def wishing(question: FinderRequest, wishes: Wishes) -> FinderRequest:
    return replace(question, request=replace(question.request, wishes=wishes))


def meeting(case: Case, wishes: Wishes, but: str = "") -> list[Forced]:
    """The buildable sets that meet every wish but one, by the figures of quote()."""
    names = tuple(name for name in wishes_made(wishes) if name != but)
    return [each for each in case.buildable if not missed(wishes, names, values(case, each), each.result.ride)]


def values(case: Case, each: Forced) -> dict[str, float | None]:
    result = each.result
    finish = result.promise.finish_to if result.promise else None
    return reached(result.ride, result.charge, result.price.due, finish, case.question.request.day)


def test_the_front_is_that_of_brute_force(case: Case) -> None:
    assert len(case.buildable) > 10
    answer = find_sets(case.question)
    assert not answer.more
    assert merits(answer.sets) == front_of(case.buildable)
    assert answer.counts.dropped == 0
    dues = [each.result.price.due for each in answer.sets]
    assert dues == sorted(dues)


def test_no_set_of_the_answer_is_stopped(case: Case) -> None:
    for each in find_sets(case.question).sets:
        assert each.result.at_level("stop") == ()
        assert each.result.pack is not None
        assert each.result.pack.unplaced == ()


def test_the_tables_lose_no_buildable_set(case: Case) -> None:
    """Every buildable set stands in the table, or one that differs in thinned parts only and is at least as good."""
    bench = bench_of(case.question)
    rows = grow(bench, worth_of(bench, prepare(case.question.request))).rows
    thinned = {"fuse", "throttle"}
    solid = [at for at, each in enumerate(bench.slots) if each.name not in thinned]
    there = set()
    for row in range(len(rows["store"])):
        codes = bench.codes({name: int(column[row]) for name, column in rows.items()})
        store = bench.stores[int(rows["store"][row])].line.code
        there.add((tuple(codes[at] for at in solid), store, int(rows["series"][row]), int(rows["parallel"][row])))
    wanted = {
        (tuple(each.codes[at] for at in solid), each.store, each.series, each.parallel) for each in case.buildable
    }
    assert wanted <= there


def test_a_short_answer_is_the_beginning_of_the_long_one(case: Case) -> None:
    long = find_sets(case.question).sets
    short = find_sets(replace(case.question, shown=3))
    assert [each.codes for each in short.sets] == [each.codes for each in long[:3]]
    assert short.more == (len(long) > 3)


def test_the_front_of_the_sets_that_meet_every_wish(case: Case) -> None:
    halfway = sorted(town_km(each) for each in case.buildable)[len(case.buildable) // 2]
    wishes = replace(AT_HOME, town_km=halfway, overnight_h=5.0)
    wanted = front_of(meeting(case, wishes))
    answer = find_sets(wishing(case.question, wishes))
    assert wanted
    assert merits(answer.sets) == wanted
    assert all(each.misses == () for each in answer.sets)


def test_what_giving_way_on_one_wish_opens(case: Case) -> None:
    """A price nothing reaches, and a range most reach: only giving way on the price helps, and how far is said."""
    wishes = replace(AT_HOME, town_km=min(town_km(each) for each in case.buildable) + 2.0, budget=Decimal(9000))
    answer = find_sets(wishing(case.question, wishes))
    assert answer.sets == ()
    by_wish = {each.wish: each for each in answer.relaxations}
    cheapest = by_wish["budget"].cheapest
    assert cheapest is not None
    allowed = meeting(case, wishes, but="budget")
    assert float(cheapest.result.price.due) == min(each.merit[0] for each in allowed)
    assert [miss.wish for miss in cheapest.misses] == ["budget"]
    assert meeting(case, wishes, but="town_km") == []
    assert by_wish["town_km"].cheapest is None


def test_the_best_there_is_of_a_wish_nothing_meets(case: Case) -> None:
    wishes = replace(AT_HOME, town_km=500.0, budget=Decimal(100_000))
    answer = find_sets(wishing(case.question, wishes))
    best = {each.wish: each for each in answer.relaxations}["town_km"].best
    assert best is not None
    assert town_km(best) == pytest.approx(max(town_km(each) for each in case.buildable), rel=1e-9)
    assert [miss.wish for miss in best.misses] == ["town_km"]
