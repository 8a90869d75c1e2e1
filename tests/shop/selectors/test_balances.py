from __future__ import annotations

from decimal import Decimal

import pytest

from shop.models import StockMove
from shop.selectors.balances import Balance, issued_by_need, received_by_line, stock_balances
from tests.shop.made_builds import make_build, make_need, make_order_line
from tests.shop.made_parts import make_component, receive


@pytest.mark.django_db
def test_balances_are_sums_of_moves() -> None:
    motor, fuse = make_component("MOT-1"), make_component("FUS-1")
    need = make_need(make_build(), motor, 2)
    receive(motor, 5)
    receive(fuse, "0.5")
    StockMove.objects.create(component=motor, kind="reserved", reserved=Decimal(2), need=need)
    StockMove.objects.create(component=motor, kind="issued", on_hand=Decimal(-1), reserved=Decimal(-1), need=need)
    StockMove.objects.create(component=motor, kind="scrapped", on_hand=Decimal(-1), reason="dropped")
    # Shelf 5 − 1 issued − 1 scrapped = 3; kept 2 − 1 = 1; free 2.
    assert stock_balances() == {motor.pk: Balance(Decimal(3), Decimal(1)), fuse.pk: Balance(Decimal("0.5"))}
    assert stock_balances()[motor.pk].free == 2
    assert issued_by_need() == {need.pk: Decimal(1)}


@pytest.mark.django_db
def test_what_came_back_from_the_bench_is_not_issued() -> None:
    motor = make_component("MOT-1")
    need = make_need(make_build(), motor, 2)
    receive(motor, 2)
    StockMove.objects.create(component=motor, kind="issued", on_hand=Decimal(-2), need=need)
    StockMove.objects.create(component=motor, kind="returned", on_hand=Decimal(1), need=need)
    assert issued_by_need() == {need.pk: Decimal(1)}


@pytest.mark.django_db
def test_receipts_are_summed_by_order_line() -> None:
    motor = make_component("MOT-1")
    line = make_order_line(motor, 4)
    for quantity in (1, 2):
        StockMove.objects.create(component=motor, kind="received", on_hand=Decimal(quantity), order_line=line)
    receive(motor, 9)
    assert received_by_line() == {line.pk: Decimal(3)}


def test_free_is_never_below_zero() -> None:
    assert Balance(Decimal(1), Decimal(3)).free == 0
