"""Past purchases from a file: measured lead times follow, stock does not move, a repeat changes nothing."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal

import pytest
from django.contrib.auth.models import User

from shop.importing.past_purchases import COLUMNS, plan_purchases
from shop.importing.sheets import sheet_file
from shop.models import Component, Offer, PastPurchase, Shop, StockMove
from shop.selectors.lead_history import measured_leads
from shop.selectors.sheets import purchase_rows
from shop.selectors.shop import shop_today
from shop.services.errors import Refused
from shop.services.orders_receive import order_receive
from shop.services.purchase_import import purchase_file_apply
from tests.shop.made_builds import make_order, make_order_line
from tests.shop.made_offers import make_part
from tests.shop.made_parts import make_supplier
from tests.shop.made_tables import bought, purchase_plan
from tests.shop.queries import queries_of

D = Decimal
HEAD = "supplier,code,ordered_on,received_on,reference,quantity,unit_cost,currency"
FIVE = [
    HEAD,
    "north-yard,MOT-1,2025-01-01,2025-01-11,,1,700,",
    "north-yard,MOT-1,2025-02-01,2025-02-13,,2,710.50,EUR",
    "north-yard,MOT-1,2025-03-01,2025-03-15,A,1,,",
    "north-yard,MOT-1,2025-03-01,2025-03-17,A,1,,",
    "north-yard,MOT-1,2025-04-01,2025-04-19,,1,720,",
]


@pytest.fixture
def buyer(person: Callable[[str], User], shop: Shop, morning: datetime) -> User:
    return person("counter")


@pytest.fixture
def motor(buyer: User) -> Component:
    return make_part("MOT-1")


def test_five_deliveries_are_enough_for_a_measured_lead_time(motor: Component, buyer: User) -> None:
    """10, 12, 14, 16, 18 days: mean 14, deviation sqrt((16 + 4 + 0 + 4 + 16)/4) = 3.162."""
    file = bought(buyer, *FIVE)
    assert file.outcome == "5 added, 0 changed, 0 unchanged, 0 in orders already"
    measured = measured_leads(components=[motor.pk])[Offer.objects.get().supplier_id, motor.pk]
    assert (measured.deliveries, measured.mean_days, measured.counts) == (5, 14, True)
    assert measured.sd_days == pytest.approx(3.162, abs=0.001)
    assert measured_leads(supplier=make_supplier("south-yard")) == {}
    rows = PastPurchase.objects.order_by("ordered_on", "received_on")
    assert [(row.unit_cost, row.currency) for row in rows][:3] == [(700, "USD"), (D("710.5"), "EUR"), (None, "USD")]
    assert not StockMove.objects.exists()


def test_the_same_file_twice_changes_nothing_the_second_time(motor: Component, buyer: User) -> None:
    file = bought(buyer, *FIVE)
    assert purchase_file_apply(file=file, person=buyer, shown="anything").applied_at == file.applied_at
    again = purchase_plan(*FIVE)
    assert (again.rows, again.unchanged, again.may_apply) == ((), 5, False)
    with pytest.raises(Refused, match="nothing to apply"):
        bought(buyer, *FIVE)
    assert PastPurchase.objects.count() == 5


def test_a_figure_corrected_is_shown_and_changed(motor: Component, buyer: User) -> None:
    bought(buyer, *FIVE)
    lines = (
        "supplier,code,ordered_on,received_on,quantity,unit_cost",
        "north-yard,MOT-1,2025-02-01,2025-02-13,2,711",
    )
    change = purchase_plan(*lines).changes[0]
    assert (change.label, change.before, change.after) == ("Unit cost", "710.5", "711")
    bought(buyer, *lines)
    row = PastPurchase.objects.get(ordered_on=date(2025, 2, 1))
    assert (row.unit_cost, row.currency) == (D(711), "EUR")  # the file says nothing of the currency


@pytest.mark.parametrize(
    ("row", "column", "said"),
    [
        ("none,MOT-1,2025-01-01,2025-01-11,,1,1,", "supplier", "No supplier is called none"),
        ("north-yard,NO,2025-01-01,2025-01-11,,1,1,", "code", "No component"),
        ("north-yard,MOT-1,01/02/2025,2025-01-11,,1,1,", "ordered_on", "is not a date"),
        ("north-yard,MOT-1,2025-01-01,,,1,1,", "received_on", "It is empty"),
        ("north-yard,MOT-1,2025-01-11,2025-01-01,,1,1,", "received_on", "before it was ordered"),
        ("north-yard,MOT-1,2025-01-11,2026-03-03,,1,1,", "received_on", "no day of the past"),
        ("north-yard,MOT-1,2025-01-01,2025-01-11,,0,1,", "quantity", "no delivery"),
        ("north-yard,MOT-1,2025-01-01,2025-01-11,,1,x,", "unit_cost", "not a number"),
        ("north-yard,MOT-1,2025-01-01,2025-01-11,,1,1,XQX", "currency", "no currency"),
    ],
)
def test_what_is_wrong_is_named_by_row_and_column(
    motor: Component, buyer: User, row: str, column: str, said: str
) -> None:
    problems = purchase_plan(*FIVE[:2], row).problems
    assert [(each.row, each.column) for each in problems] == [(3, column)]
    assert said in problems[0].problem
    assert problems[0].remedy
    with pytest.raises(Refused, match="Nothing was changed"):
        bought(buyer, *FIVE[:2], row)
    assert not PastPurchase.objects.exists()


def test_a_delivery_stands_once(motor: Component) -> None:
    problems = purchase_plan(*FIVE[:2], FIVE[1]).problems
    assert [(each.row, each.column) for each in problems] == [(3, "reference")]
    missing = purchase_plan("supplier,code,quantity", "north-yard,MOT-1,1").problems
    assert [(each.row, each.column) for each in missing] == [(1, "ordered_on"), (1, "received_on")]


def test_what_orders_here_have_counted_is_passed_over(motor: Component, buyer: User) -> None:
    """The order of the 2nd of February came today, the 2nd of March: 28 days, once."""
    order = make_order()
    line = make_order_line(motor, 1, order=order)
    order_receive(order=order, received={line: D(1)}, person=buyer, key="k")
    plan = purchase_plan(*FIVE, "north-yard,MOT-1,2026-02-02,2026-03-02,,1,700,")
    assert (plan.known, plan.added) == (1, 5)
    bought(buyer, *FIVE, "north-yard,MOT-1,2026-02-02,2026-03-02,,1,700,")
    measured = measured_leads()[order.supplier_id, motor.pk]
    assert (measured.deliveries, measured.most_days) == (6, 28)


def test_the_export_imported_unchanged_does_nothing(motor: Component, buyer: User) -> None:
    bought(buyer, *FIVE)
    heading = [column.name for column in COLUMNS]
    for form in ("csv", "xlsx"):
        content = sheet_file("purchases", heading, purchase_rows(), form, COLUMNS)
        plan = plan_purchases(content, f"p.{form}", shop_today())
        assert (plan.problems, plan.rows, plan.unchanged) == ((), (), 5)


def test_queries_do_not_grow_with_the_rows(motor: Component) -> None:
    few = queries_of(lambda: purchase_plan(*FIVE[:2]))
    assert queries_of(lambda: purchase_plan(*FIVE)) == few
