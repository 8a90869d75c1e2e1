"""What if: exactly the builds a change moves, with the same random numbers, and clear words for what cannot be."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from quoting.errors import RequestError
from quoting.odds import Change, changed_shop, what_if
from quoting.promise.odds import PLAIN, Dice
from quoting.request import Policies, ShopState
from tests.quoting.promise.odds.calibration_shops import DAY, calibration_shop

NOW = datetime(2027, 3, 1, 13, tzinfo=UTC)
CHANGES = [
    Change(kind="supplier", name="supplier 1", days=21),
    Change(kind="bench_down", name="bench 4", first=DAY, last=date(2027, 3, 31)),
    Change(kind="away", name="person 0", first=DAY, last=date(2027, 3, 31)),
    Change(kind="overtime", minutes=60),
    Change(kind="one_more_bench", name="electric"),
    Change(kind="first", name="5"),
]


def shop_of() -> ShopState:
    shop = calibration_shop(1, 6)
    builds = (replace(build, promised_to=DAY + timedelta(days=45)) for build in shop.builds)
    return replace(shop, builds=tuple(builds))


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.kind)
def test_a_change_is_worked_out_and_nothing_is_applied(change: Change):
    shop = shop_of()
    found = what_if(shop, change, NOW, DAY, Policies(), Dice(3), loops=PLAIN)
    assert found.shop != shop
    assert shop == shop_of()
    assert [shift.number for shift in found.shifts] == [build.number for build in shop.builds]
    assert found == what_if(shop, change, NOW, DAY, Policies(), Dice(3), loops=PLAIN)


def test_no_change_moves_nobody():
    found = what_if(shop_of(), Change(kind="supplier", name="supplier 1"), NOW, DAY, Policies(), Dice(3), loops=PLAIN)
    assert found.moved == ()


def test_a_slow_supplier_moves_only_what_waits_for_it_or_for_those_who_do():
    shop = shop_of()
    unneeded = replace(shop, builds=tuple(replace(build, needs=()) for build in shop.builds))
    slow = Change(kind="supplier", name="supplier 1", days=21)
    assert what_if(unneeded, slow, NOW, DAY, Policies()).moved == ()
    moved = what_if(shop, slow, NOW, DAY, Policies()).moved
    assert moved
    assert any(shift.breaks for shift in moved)
    assert all(shift.kept_before for shift in moved if shift.breaks)


def test_a_build_put_first_changes_places_with_nobody_lost():
    moved = changed_shop(shop_of(), Change(kind="first", name="5"))
    assert {build.number: build.place for build in moved.builds} == {"5": 1, "1": 2, "2": 3, "3": 4, "4": 5, "6": 6}


def test_overtime_lengthens_the_last_opening_of_each_day():
    openings = changed_shop(shop_of(), Change(kind="overtime", minutes=90)).openings
    # 8:00 to 12:00 stays, 13:00 to 17:00 becomes 13:00 to 18:30
    assert {(each.start.hour, each.end.hour, each.end.minute) for each in openings} == {(8, 12, 0), (13, 18, 30)}


@pytest.mark.parametrize(
    ("change", "field"),
    [
        (Change(kind="magic"), "kind"),
        (Change(kind="supplier", name="nobody"), "name"),
        (Change(kind="bench_down", name="nowhere", first=DAY, last=DAY), "name"),
        (Change(kind="bench_down", name="bench 4", first=DAY), "first"),
        (Change(kind="away", name="person 0", first=DAY, last=DAY - timedelta(days=1)), "first"),
        (Change(kind="overtime"), "minutes"),
        (Change(kind="one_more_bench", name="forge"), "name"),
        (Change(kind="first", name="99"), "name"),
    ],
)
def test_what_cannot_be_names_the_field(change: Change, field: str):
    with pytest.raises(RequestError) as raised:
        changed_shop(shop_of(), change)
    assert [problem.field for problem in raised.value.problems] == [field]
