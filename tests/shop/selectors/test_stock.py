from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from shop.models import Component
from shop.selectors.stock import StockFilter, stock_page, stock_rows
from shop.services.stock_count import stock_receive
from shop.services.stock_issue import stock_issue
from tests.shop.made_builds import make_build, make_need, make_order, make_order_line
from tests.shop.made_parts import make_component
from tests.shop.queries import queries_of

pytestmark = pytest.mark.django_db
NONE = Decimal(0)


def found(**asked: object) -> list[str]:
    return [row.component.code for row in stock_rows(StockFilter(**asked)).rows]  # type: ignore[arg-type]


def test_a_row_adds_up_shelf_line_and_orders() -> None:
    motor = make_component("MOT-1", keep_on_shelf=Decimal(2))
    needs = [make_need(make_build(place), motor, 2) for place in (1, 2, 3)]
    stock_receive(component=motor, quantity=Decimal(3), person=None)
    stock_issue(need=needs[0], person=None)
    make_order_line(motor, 1, order=make_order("P-1"), expected_on=date(2026, 3, 20))
    make_order_line(motor, 9, order=make_order("P-2", state="draft", ordered_on=None))
    (row,) = stock_rows(StockFilter()).rows
    # Three came, two went to the bench: one on the shelf, kept for the second build, which lacks one; the third two.
    assert [row.on_hand, row.reserved, row.free, row.on_order, row.short] == [1, 1, 0, 1, 3]
    assert row.to_buy == 4  # 3 short and 2 to keep on the shelf, 1 of it on order


def test_free_stock_covers_what_is_kept_on_the_shelf() -> None:
    fuse = make_component("FUS-1", keep_on_shelf=Decimal(5))
    stock_receive(component=fuse, quantity=Decimal(3), person=None)
    (row,) = stock_rows(StockFilter()).rows
    assert [row.free, row.short, row.to_buy] == [3, 0, 2]


def test_components_are_found_by_words_kind_and_state() -> None:
    motor = make_component("MOT-1", shelf="A3")
    make_component("FUS-1", keep_on_shelf=Decimal(1))
    make_component("CAB-B")
    make_need(make_build(), motor, 1)
    stock_receive(component=Component.objects.get(code="CAB-B"), quantity=Decimal(3), person=None)
    assert found() == ["CAB-B", "FUS-1", "MOT-1"]  # by kind: cable, fuse, motor
    assert found(text="fuse 225") == ["FUS-1"]
    assert found(text="a3") == ["MOT-1"]
    assert found(text="mot-1 fuse") == []
    assert found(kind="cable") == ["CAB-B"]
    assert found(show="here") == ["CAB-B"]
    assert found(show="short") == ["MOT-1"]
    assert found(show="low") == ["FUS-1"]


def test_a_long_list_comes_in_pages() -> None:
    for number in range(101):
        make_component("FUS-1", code=f"F-{number:03}", name=f"fuse {number:03}")
    first, last = stock_rows(StockFilter()), stock_rows(StockFilter(page=99))
    assert (first.count, first.page, first.pages, len(first.rows)) == (101, 1, 3, 50)
    assert (last.page, [row.component.code for row in last.rows]) == (3, ["F-100"])


def test_the_list_takes_as_many_queries_for_fifty_as_for_one() -> None:
    def make(number: int) -> None:
        fuse = make_component("FUS-1", code=f"F-{number}")
        make_need(make_build(number), fuse, 2)
        stock_receive(component=fuse, quantity=Decimal(1), person=None)
        make_order_line(fuse, 1, order=make_order(f"P-{number}"))

    make(1)
    one = queries_of(lambda: stock_rows(StockFilter()))
    for number in range(2, 51):
        make(number)
    assert queries_of(lambda: stock_rows(StockFilter())) == one


def test_one_component_with_who_needs_it_and_what_is_due() -> None:
    motor = make_component("MOT-1")
    needs = [make_need(make_build(place), motor, 1) for place in (2, 1)]
    stock_receive(component=motor, quantity=Decimal(1), person=None)
    line = make_order_line(motor, 4, order=make_order("P-1"))
    make_order_line(make_component("FUS-1"), 4, order=make_order("P-2"))
    page = stock_page(motor.public_id)
    assert [(row.need, row.reserved, row.short) for row in page.needs] == [
        (needs[1], Decimal(1), NONE),
        (needs[0], NONE, Decimal(1)),
    ]
    assert [(due.line, due.left) for due in page.due] == [(line, Decimal(4))]
    assert [page.row.on_hand, page.row.on_order, page.row.short] == [1, 4, 1]
    assert [move.kind for move in page.moves] == ["reserved", "received"]
    with pytest.raises(Component.DoesNotExist):
        stock_page("nothing")
