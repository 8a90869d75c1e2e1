"""Units with serial numbers and cells by the batch: entered, chosen, issued, returned, gone."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from shop.models import Component, PartNeed, Shop, StockMove, StockUnit
from shop.selectors.units import batches_by_need, batches_here
from shop.services.errors import Refused
from shop.services.stock_count import stock_count, stock_receive, stock_scrap, stock_send_back
from shop.services.stock_issue import stock_issue, stock_return
from shop.services.unit_choice import need_units_set
from tests.shop.made_builds import make_build, make_need
from tests.shop.made_parts import make_component

ONE, TWO = Decimal(1), Decimal(2)


@pytest.fixture
def motor(shop: Shop, morning: datetime) -> Component:
    return make_component("MOT-1")


@pytest.fixture
def cell(shop: Shop, morning: datetime) -> Component:
    return make_component("CEL-1")


def receive(component: Component, quantity: int, *serials: str, batch: str = "") -> StockMove:
    return stock_receive(
        component=component, quantity=Decimal(quantity), serials=serials, batch=batch, person=None, reason="bought"
    )


def places(component: Component) -> dict[str, str]:
    return dict(StockUnit.objects.filter(component=component).values_list("serial", "place"))


def need_of(component: Component, place: int = 1, quantity: int = 1) -> PartNeed:
    return make_need(make_build(place), component, quantity)


def test_a_number_for_each_unit_or_none(motor: Component):
    with pytest.raises(Refused, match="1 number for 2"):
        receive(motor, 2, "M-1")
    with pytest.raises(Refused, match="entered twice"):
        receive(motor, 2, "M-1", "m-1")
    receive(motor, 2, "M-1", "M-2")
    receive(motor, 1)
    assert places(motor) == {"M-1": "shelf", "M-2": "shelf"}


def test_what_is_not_kept_by_number_takes_none(cell: Component):
    with pytest.raises(Refused, match="not kept by serial number"):
        receive(cell, 1, "C-1")


def test_a_number_is_in_one_place_whatever_its_capitals(motor: Component):
    receive(motor, 1, "M-1")
    with pytest.raises(Refused, match="on the shelf already"):
        receive(motor, 1, "m-1")
    assert StockMove.objects.count() == 1
    with pytest.raises(IntegrityError), transaction.atomic():
        StockUnit.objects.create(component=motor, serial="m-1")


def test_issued_by_number_and_shown_in_the_build(motor: Component):
    need = need_of(motor)
    receive(motor, 2, "M-1", "M-2")
    with pytest.raises(Refused, match=r"M-3 is not on the shelf. There: M-1, M-2"):
        stock_issue(need=need, person=None, serials=["M-3"])
    stock_issue(need=need, person=None, serials=["M-2"])
    assert places(motor) == {"M-1": "shelf", "M-2": "build"}
    assert [unit.serial for unit in need.units.all()] == ["M-2"]


def test_without_a_word_the_oldest_goes_but_not_one_chosen_for_another(motor: Component):
    first, second = need_of(motor, 1), need_of(motor, 2)
    receive(motor, 2, "M-1", "M-2")
    need_units_set(need=second, serials=["M-1"], person=None)
    with pytest.raises(Refused, match="chosen for another build"):
        stock_issue(need=first, person=None, serials=["M-1"])
    stock_issue(need=first, person=None)
    assert [unit.serial for unit in first.units.all()] == ["M-2"]


def test_the_wrong_number_in_a_build_is_put_right(motor: Component):
    need = need_of(motor)
    receive(motor, 2, "M-1", "M-2")
    stock_issue(need=need, person=None)  # the oldest, M-1
    need_units_set(need=need, serials=["m-2"], person=None)
    assert places(motor) == {"M-1": "shelf", "M-2": "build"}
    event = need.build.events.get(verb="serial numbers set")
    assert (event.before, event.after) == (f"{motor.name}: M-1", "M-2")


def test_an_unnumbered_unit_in_a_build_gets_its_number(motor: Component):
    need = need_of(motor)
    receive(motor, 1)
    stock_issue(need=need, person=None)
    need_units_set(need=need, serials=["M-9"], person=None)
    assert places(motor) == {"M-9": "build"}
    with pytest.raises(Refused, match="1 numbers on a shelf of 0"):
        need_units_set(need=need, serials=[], person=None)  # the unit would lie on an empty shelf


def test_a_return_says_which(motor: Component):
    need = need_of(motor, quantity=2)
    receive(motor, 2, "M-1", "M-2")
    stock_issue(need=need, person=None)
    with pytest.raises(Refused, match="Say which of M-1, M-2"):
        stock_return(need=need, quantity=ONE, reason="spare", person=None)
    stock_return(need=need, quantity=ONE, serials=["M-2"], reason="spare", person=None)
    stock_return(need=need, quantity=ONE, reason="spare", person=None)  # the last one: no question
    assert places(motor) == {"M-1": "shelf", "M-2": "shelf"}


def test_scrapped_missing_sent_back_and_come_again(motor: Component):
    receive(motor, 3, "M-1", "M-2", "M-3")
    stock_scrap(component=motor, quantity=ONE, serials=["M-1"], reason="dropped", person=None)
    stock_count(component=motor, counted=ONE, serials=["M-2"], reason="not found", person=None)
    stock_send_back(component=motor, quantity=ONE, reason="noisy", person=None)
    assert places(motor) == {"M-1": "scrapped", "M-2": "missing", "M-3": "supplier"}
    receive(motor, 1, "M-3")  # repaired
    assert places(motor)["M-3"] == "shelf"
    assert [move.move.kind for move in StockUnit.objects.get(serial="M-3").moves.all()] == [
        "received", "sent_back", "received",
    ]  # fmt: skip


def test_scrapped_out_of_a_build(motor: Component):
    need = need_of(motor)
    receive(motor, 2, "M-1", "M-2")
    stock_issue(need=need, person=None, serials=["M-1"])
    stock_scrap(component=motor, quantity=ONE, need=need, reason="burnt", person=None)
    assert places(motor) == {"M-1": "scrapped", "M-2": "shelf"}


def test_cells_come_from_one_batch_where_that_is_possible(cell: Component):
    need = need_of(cell, quantity=300)
    receive(cell, 200, batch="A")
    receive(cell, 400, batch="B")
    stock_issue(need=need, person=None)
    # 300 of 200 + 400: batch B has them all, so the pack is not mixed
    assert [(row.code, row.quantity) for row in batches_by_need([need])[need.pk]] == [("B", Decimal(300))]
    assert [(row.code, row.quantity) for row in batches_here(cell)] == [("A", Decimal(200)), ("B", Decimal(100))]


def test_a_batch_that_has_too_few_is_refused(cell: Component):
    need = need_of(cell, quantity=300)
    receive(cell, 200, batch="A")
    receive(cell, 400, batch="B")
    with pytest.raises(Refused, match=r"Batch A has too few. There: 200 of A, 400 of B"):
        stock_issue(need=need, person=None, batch="A")


def test_cells_go_back_to_their_own_batches(cell: Component):
    need = need_of(cell, quantity=300)
    receive(cell, 200, batch="A")
    receive(cell, 100, batch="B")
    stock_issue(need=need, person=None)  # the oldest first: 200 of A, 100 of B
    stock_return(need=need, quantity=Decimal(250), reason="plan changed", person=None)
    # out of one batch where one has enough, else the oldest first: 200 of A and 50 of B
    assert [(row.code, row.quantity) for row in batches_here(cell)] == [("A", Decimal(200)), ("B", Decimal(50))]
