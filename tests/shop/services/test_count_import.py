"""A stock count from a file: what it changes, once, and what it refuses."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal

import pytest
from django.contrib.auth.models import User

from shop.importing.count_plan import plan_counts
from shop.importing.count_rows import COLUMNS
from shop.importing.sheets import sheet_file
from shop.models import Component, Event, Offer, PartNeed, Shop, StockMove, StockUnit
from shop.selectors.balances import reserved_by_need, stock_balances
from shop.selectors.sheets import count_rows
from shop.selectors.units import batches_here
from shop.services.count_import import count_file_apply
from shop.services.errors import Refused
from shop.services.stock_count import stock_receive
from shop.services.stock_issue import stock_issue
from tests.shop.made_builds import make_day_build, make_need
from tests.shop.made_offers import make_part
from tests.shop.made_tables import count_plan, count_sheet, counted
from tests.shop.queries import queries_of

D = Decimal
HEAD = "code,counted,shelf,batch,serials,reason,books"


@pytest.fixture
def buyer(person: Callable[[str], User], shop: Shop, morning: datetime) -> User:
    return person("counter")


@pytest.fixture
def fuse(buyer: User) -> Component:
    """Three on the shelf."""
    part = make_part("FUS-1")
    stock_receive(component=part, quantity=D(3), person=buyer)
    return part


@pytest.fixture
def motor(buyer: User) -> Component:
    """Two with numbers on the shelf, and one without."""
    part = make_part("MOT-1")
    stock_receive(component=part, quantity=D(2), serials=["M-1", "M-2"], person=buyer)
    stock_receive(component=part, quantity=D(1), person=buyer)
    return part


def on_hand(part: Component) -> int:
    return int(stock_balances([part.pk])[part.pk].on_hand)


def there() -> set[str]:
    return set(StockUnit.objects.filter(place="shelf").values_list("serial", flat=True))


def test_the_difference_is_a_count_move_with_its_reason_and_the_shelf_is_noted(fuse: Component, buyer: User) -> None:
    file = counted(buyer, HEAD, "FUS-1,5,C2,,,behind the lathe,3")
    move = StockMove.objects.get(kind="counted")
    assert (move.on_hand, move.reason, move.person) == (D(2), "behind the lathe", buyer)
    fuse.refresh_from_db()
    assert (on_hand(fuse), fuse.shelf) == (5, "C2")
    assert file.outcome.startswith("1 counted otherwise than the books, 1 on another shelf")
    assert set(Event.objects.values_list("verb", "subject")) >= {
        ("shelf counted by file", "stores"),
        ("shelf changed", "component FUS-1"),
    }


def test_the_same_file_twice_changes_nothing_the_second_time(fuse: Component, buyer: User) -> None:
    lines = (HEAD, "FUS-1,5,,,,,3")
    file = counted(buyer, *lines)
    moves = StockMove.objects.count()
    assert count_file_apply(file=file, person=buyer, shown="anything").applied_at == file.applied_at
    again = count_plan(*lines)
    assert (again.changes, again.problems, again.may_apply) == ((), (), False)
    with pytest.raises(Refused, match="nothing to apply"):
        counted(buyer, *lines)
    assert StockMove.objects.count() == moves


def test_an_old_count_does_not_undo_what_came_since(fuse: Component, buyer: User) -> None:
    """With the books' column the row says that they moved; without it the file is known by its bytes."""
    for lines in ((HEAD, "FUS-1,5,,,,,3"), ("code,counted", "FUS-1,2")):
        counted(buyer, *lines)
        stock_receive(component=fuse, quantity=D(1), person=buyer)
        plan = count_plan(*lines)
        assert plan.changes or [problem.column for problem in plan.problems] == ["books"]
        assert not plan.may_apply
        with pytest.raises(Refused, match=r"applied before|say 6 now"):
            counted(buyer, *lines)
    assert on_hand(fuse) == 3


def test_stock_that_moved_since_it_was_shown_is_looked_at_again(fuse: Component, buyer: User) -> None:
    plan = count_plan("code,counted", "FUS-1,5")
    stock_receive(component=fuse, quantity=D(1), person=buyer)
    assert count_plan("code,counted", "FUS-1,5").fingerprint != plan.fingerprint


def test_rows_left_empty_and_parts_left_out_stay_as_they_are(fuse: Component, motor: Component, buyer: User) -> None:
    plan = count_plan("code,counted,shelf", "FUS-1,,A1")
    assert plan.summary[-1] == ("Not counted", 1)
    counted(buyer, "code,counted,shelf", "FUS-1,,A1")
    fuse.refresh_from_db()
    assert (on_hand(fuse), fuse.shelf, on_hand(motor)) == (3, "A1", 3)
    assert not StockMove.objects.filter(kind="counted").exists()


def test_numbers_missing_found_and_given(motor: Component, buyer: User) -> None:
    """Books: M-1, M-2 and one without a number. Counted: M-2, and M-7 on the one that had none: M-1 is missing, so
    2 lie there. Then M-1 turns up: 3.
    """
    counted(buyer, HEAD, 'MOT-1,2,,,"M-2, M-7",,')
    assert (on_hand(motor), there(), StockUnit.objects.get(serial="M-1").place) == (2, {"M-2", "M-7"}, "missing")
    gone = StockMove.objects.get(kind="counted")
    assert (gone.on_hand, [each.unit.serial for each in gone.unit_moves.all()]) == (D(-1), ["M-1"])
    counted(buyer, HEAD, "MOT-1,3,,,M-1;M-2;M-7,,")
    assert (on_hand(motor), there()) == (3, {"M-1", "M-2", "M-7"})


def test_one_number_exchanged_for_another_is_one_gone_and_one_found(motor: Component, buyer: User) -> None:
    """3 stay 3: M-1, M-2 and a bare one become M-2, M-9, M-8: M-1 goes, one number is given, one unit is found."""
    counted(buyer, HEAD, 'MOT-1,3,,,"M-2, M-9, M-8",,')
    changes = sorted(StockMove.objects.filter(kind="counted").values_list("on_hand", flat=True))
    assert (on_hand(motor), there(), changes) == (3, {"M-2", "M-8", "M-9"}, [D(-1), D(1)])


@pytest.mark.parametrize(
    ("row", "column", "said"),
    [
        ("NO-1,1,,,,,", "code", "No component has the code 'NO-1'"),
        (",1,,,,,", "code", "It is empty"),
        ("FUS-1,x,,,,,", "counted", "is not a number"),
        ("FUS-1,-1,,,,,", "counted", "below zero"),
        ("FUS-1,1.5,,,,,", "counted", "whole pieces"),
        ("FUS-1,1,,B-7,,,", "batch", "not kept by the batch"),
        ("FUS-1,1,,,F-1,,", "serials", "not kept by serial number"),
        ("MOT-1,1,,,,,", "serials", "The books have M-1, M-2 there"),
        ("MOT-1,2,,,M-1;m-1,,", "serials", "stands twice"),
        ("MOT-1,1,,,M-1;M-2,,", "serials", "more than were counted"),
        ("MOT-1,3,,,M-5,,", "serials", "M-5 is in B-1001"),
        ("FUS-1,4,,,,,2", "books", "say 3 now"),
        (f"FUS-1,4,{'x' * 41},,,,", "shelf", "More than 40 characters"),
    ],
)
def test_what_is_wrong_is_named_by_row_and_column(
    fuse: Component, motor: Component, buyer: User, row: str, column: str, said: str
) -> None:
    need = make_need(make_day_build(), motor, 1)
    stock_receive(component=motor, quantity=D(1), serials=["M-5"], person=buyer)
    stock_issue(need=need, serials=["M-5"], person=buyer)
    problems = count_plan(HEAD, row).problems
    assert [(each.row, each.column) for each in problems] == [(2, column)]
    assert said in problems[0].problem
    assert problems[0].remedy
    with pytest.raises(Refused, match="Nothing was changed"):
        counted(buyer, HEAD, row)


def test_a_part_stands_once_and_columns_are_known(fuse: Component) -> None:
    problems = count_plan("code,counted,shelve", "FUS-1,1,A", "FUS-1,2,A").problems
    assert [(each.row, each.column) for each in problems] == [(1, "shelve"), (3, "code")]
    assert "Did you mean shelf" in problems[0].remedy
    assert [(each.row, each.column) for each in count_plan("code,shelf", "FUS-1,A").problems] == [(1, "counted")]


def test_the_suppliers_number_finds_a_part_and_two_of_it_are_asked_about(fuse: Component, motor: Component) -> None:
    Offer.objects.filter(component=fuse).update(supplier_code="AB-9")
    assert count_plan("supplier_code,counted", "ab-9,4").changes[0].code == "FUS-1"
    Offer.objects.update(supplier_code="AB-9")
    wrong = count_plan("supplier_code,counted", "ab-9,4").problems[0]
    assert (wrong.column, "FUS-1, MOT-1" in wrong.problem) == ("supplier_code", True)


def test_cells_are_counted_batch_by_batch(buyer: User) -> None:
    cells = make_part("CEL-1")
    stock_receive(component=cells, quantity=D(100), batch="K7", person=buyer)
    stock_receive(component=cells, quantity=D(50), batch="K8", person=buyer)
    counted(buyer, HEAD, "CEL-1,96,A4,k7,,4 dented,", "CEL-1,10,A4,K9,,,")
    assert {batch.code: batch.quantity for batch in batches_here(cells)} == {"K7": 96, "K8": 50, "K9": 10}
    places = count_plan("code,counted,shelf,batch", "CEL-1,96,A4,K7", "CEL-1,10,A5,K9").problems
    assert [(each.row, each.column) for each in places] == [(3, "shelf")]


def test_fewer_than_reserved_are_taken_from_the_build_furthest_back(fuse: Component, buyer: User) -> None:
    first, second = (make_need(make_day_build(place), fuse, 2) for place in (1, 2))
    stock_receive(component=fuse, quantity=D(1), person=buyer)  # 4: two for each
    counted(buyer, "code,counted", "FUS-1,3")
    assert (reserved_by_need()[first.pk], reserved_by_need()[second.pk]) == (D(2), D(1))
    assert PartNeed.objects.count() == 2


def test_the_exported_sheet_imported_unchanged_does_nothing(fuse: Component, motor: Component, buyer: User) -> None:
    cells = make_part("CEL-1")
    stock_receive(component=cells, quantity=D(100), batch="K7", person=buyer)
    stock_receive(component=cells, quantity=D("2"), person=buyer)
    Component.objects.filter(pk=fuse.pk).update(shelf="=B1")
    heading = [column.name for column in COLUMNS]
    for form in ("csv", "xlsx"):
        plan = plan_counts(sheet_file("counts", heading, count_rows(), form, COLUMNS), f"sheet.{form}")
        assert (plan.problems, plan.changes, plan.summary[2][1]) == ((), (), 4)
    rows = {(row["code"], row["batch"]): row for row in count_sheet()}
    assert rows["MOT-1", ""]["serials"] == "M-1, M-2"
    assert rows["CEL-1", "K7"]["counted"] == "100"


def test_queries_do_not_grow_with_the_rows(fuse: Component, motor: Component) -> None:
    few = queries_of(lambda: count_plan("code,counted", "FUS-1,5"))
    assert queries_of(lambda: count_plan("code,counted", "FUS-1,5", "MOT-1,9")) == few
