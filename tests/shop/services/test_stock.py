from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal

import pytest
from django.contrib.auth.models import User
from django.db.models import Sum
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from shop.models import Build, BuildState, Component, Event, PartNeed, StockMove
from shop.selectors.balances import Balance, issued_by_need, reserved_by_need, stock_balances
from shop.services.builds import build_move
from shop.services.errors import Refused
from shop.services.line_lock import line_lock
from shop.services.stock import stock_allot
from shop.services.stock_count import stock_count, stock_receive, stock_scrap
from shop.services.stock_issue import stock_issue, stock_return
from tests.shop import made_shop
from tests.shop.made_builds import make_build, make_need
from tests.shop.made_parts import make_component

NONE = Decimal(0)


@pytest.fixture
def buyer(person: Callable[[str], User]) -> User:
    return person("counter")


@pytest.fixture
def motor(db: None) -> Component:
    return make_component("MOT-1")


@pytest.fixture
def needs(motor: Component) -> list[PartNeed]:
    """Three builds in line that need 1, 2 and 1 motors."""
    return [make_need(make_build(place), motor, quantity) for place, quantity in ((1, 1), (2, 2), (3, 1))]


def kept(*needs: PartNeed) -> list[Decimal]:
    sums = reserved_by_need()
    return [sums.get(need.pk, NONE) for need in needs]


def balance(component: Component) -> Balance:
    return stock_balances().get(component.pk, Balance())


def test_what_comes_goes_to_the_first_in_line_who_lack_it(motor: Component, needs: list[PartNeed], buyer: User) -> None:
    stock_receive(component=motor, quantity=Decimal(2), person=buyer, reason="bought in town")
    assert kept(*needs) == [1, 1, 0]
    stock_receive(component=motor, quantity=Decimal(3), person=buyer)
    assert kept(*needs) == [1, 2, 1]
    assert balance(motor) == Balance(Decimal(5), Decimal(4))
    event = Event.objects.filter(verb="received").first()
    assert event is not None
    assert (event.subject, event.after, event.person) == ("MOT-1", "3", buyer)


def test_receiving_twice_with_one_key_puts_it_there_once(motor: Component, buyer: User) -> None:
    first = stock_receive(component=motor, quantity=Decimal(2), person=buyer, key="form")
    assert stock_receive(component=motor, quantity=Decimal(2), person=buyer, key="form") == first
    assert balance(motor).on_hand == 2
    with pytest.raises(Refused, match="used for hub motor"):
        stock_receive(component=make_component("FUS-1"), quantity=Decimal(2), person=buyer, key="form")


@pytest.mark.parametrize(("quantity", "said"), [("0", "more than zero"), ("-1", "more than zero"), ("1.5", "pieces")])
def test_what_is_no_quantity(motor: Component, buyer: User, quantity: str, said: str) -> None:
    with pytest.raises(Refused, match=said) as caught:
        stock_receive(component=motor, quantity=Decimal(quantity), person=buyer)
    assert caught.value.field == "quantity"
    assert not StockMove.objects.exists()


def test_cable_is_measured_in_meters_to_the_millimeter(buyer: User, db: None) -> None:
    cable = make_component("CAB-B")
    stock_receive(component=cable, quantity=Decimal("2.375"), person=buyer)
    with pytest.raises(Refused, match="at most three decimals"):
        stock_receive(component=cable, quantity=Decimal("0.0005"), person=buyer)
    assert balance(cable).on_hand == Decimal("2.375")


def test_a_count_below_what_is_kept_releases_the_builds_furthest_back(
    motor: Component, needs: list[PartNeed], buyer: User
) -> None:
    stock_receive(component=motor, quantity=Decimal(4), person=buyer)
    move = stock_count(component=motor, counted=Decimal(2), reason="two are missing", person=buyer, seen=Decimal(4))
    assert move is not None
    assert (move.kind, move.on_hand, move.reason) == ("counted", Decimal(-2), "two are missing")
    # Two left for 1 + 2 + 1: the third build gives up its one, the second one of its two.
    assert kept(*needs) == [1, 1, 0]
    assert balance(motor) == Balance(Decimal(2), Decimal(2))
    released = StockMove.objects.filter(kind="released").order_by("pk")
    assert [(each.need, each.reserved, each.reason) for each in released] == [
        (needs[1], Decimal(-1), "Counted: two are missing"),
        (needs[2], Decimal(-1), "Counted: two are missing"),
    ]


def test_a_count_above_the_books_is_kept_for_who_lacks_it(motor: Component, needs: list[PartNeed], buyer: User) -> None:
    stock_count(component=motor, counted=Decimal(3), reason="found in the loft", person=buyer)
    assert kept(*needs) == [1, 2, 0]


def test_a_count_that_agrees_moves_nothing_and_is_noted(motor: Component, buyer: User) -> None:
    stock_receive(component=motor, quantity=Decimal(2), person=buyer)
    assert stock_count(component=motor, counted=Decimal(2), person=buyer) is None
    assert StockMove.objects.count() == 1
    assert Event.objects.filter(verb="counted", before="2", after="2").exists()


def test_a_count_of_nothing_empties_the_shelf(motor: Component, needs: list[PartNeed], buyer: User) -> None:
    stock_receive(component=motor, quantity=Decimal(2), person=buyer)
    stock_count(component=motor, counted=NONE, reason="stolen", person=buyer)
    assert balance(motor) == Balance()
    assert kept(*needs) == [0, 0, 0]


def test_a_count_asks_for_its_reason_and_for_books_that_stood_still(motor: Component, buyer: User) -> None:
    stock_receive(component=motor, quantity=Decimal(2), person=buyer)
    with pytest.raises(Refused) as caught:
        stock_count(component=motor, counted=Decimal(1), person=buyer)
    assert caught.value.field == "reason"
    with pytest.raises(Refused, match="the books say 2 now, not 1") as caught:
        stock_count(component=motor, counted=Decimal(1), reason="x", seen=Decimal(1), person=buyer)
    assert caught.value.field == "counted"
    with pytest.raises(Refused, match="zero or more"):
        stock_count(component=motor, counted=Decimal(-1), reason="x", person=buyer)
    assert balance(motor).on_hand == 2


def test_scrap_leaves_the_shelf_and_the_last_in_line_lacks_it(
    motor: Component, needs: list[PartNeed], buyer: User
) -> None:
    stock_receive(component=motor, quantity=Decimal(4), person=buyer)
    stock_scrap(component=motor, quantity=Decimal(1), reason="dropped", person=buyer, key="form")
    stock_scrap(component=motor, quantity=Decimal(1), reason="dropped", person=buyer, key="form")
    assert balance(motor) == Balance(Decimal(3), Decimal(3))
    assert kept(*needs) == [1, 2, 0]
    with pytest.raises(Refused, match="Only 3 of hub motor 10 kW 72 V are on the shelf") as caught:
        stock_scrap(component=motor, quantity=Decimal(4), reason="dropped", person=buyer)
    assert caught.value.field == "quantity"


def test_scrap_of_what_was_issued_makes_the_build_lack_it_again(
    motor: Component, needs: list[PartNeed], buyer: User
) -> None:
    stock_receive(component=motor, quantity=Decimal(2), person=buyer)
    stock_issue(need=needs[0], person=buyer)
    stock_scrap(component=motor, quantity=Decimal(1), reason="burnt out", need=needs[0], person=buyer)
    assert issued_by_need()[needs[0].pk] == 0
    # The one left was kept for the second build; the first comes before it in line.
    assert kept(*needs) == [1, 0, 0]
    with pytest.raises(Refused, match="Only 0 of hub motor 10 kW 72 V are issued to B-1001"):
        stock_scrap(component=motor, quantity=Decimal(1), reason="x", need=needs[0], person=buyer)


def test_what_is_kept_can_be_issued_and_no_more(motor: Component, needs: list[PartNeed], buyer: User) -> None:
    stock_receive(component=motor, quantity=Decimal(2), person=buyer)
    with pytest.raises(Refused, match="1 are kept for B-1002"):
        stock_issue(need=needs[1], quantity=Decimal(2), person=buyer)
    with pytest.raises(Refused, match="No hub motor 10 kW 72 V is kept for B-1003"):
        stock_issue(need=needs[2], person=buyer)
    move = stock_issue(need=needs[1], person=buyer, key="form")
    assert (move.on_hand, move.reserved) == (Decimal(-1), Decimal(-1))
    assert stock_issue(need=needs[1], person=buyer, key="form") == move
    assert balance(motor) == Balance(Decimal(1), Decimal(1))


def test_what_comes_back_goes_to_the_first_in_line(motor: Component, needs: list[PartNeed], buyer: User) -> None:
    stock_receive(component=motor, quantity=Decimal(3), person=buyer)
    stock_issue(need=needs[1], person=buyer)
    with pytest.raises(Refused, match="2 of hub motor 10 kW 72 V were issued to B-1002"):
        stock_return(need=needs[1], quantity=Decimal(3), reason="too many", person=buyer)
    with pytest.raises(Refused) as caught:
        stock_return(need=needs[1], quantity=Decimal(1), reason="", person=buyer)
    assert caught.value.field == "reason"
    stock_return(need=needs[1], quantity=Decimal(2), reason="not yet", person=buyer)
    assert kept(*needs) == [1, 2, 0]
    assert issued_by_need()[needs[1].pk] == 0


def test_closed_builds_keep_nothing(motor: Component, needs: list[PartNeed], buyer: User) -> None:
    stock_receive(component=motor, quantity=Decimal(3), person=buyer)
    Build.objects.filter(pk=needs[0].build_id).update(state=BuildState.CANCELLED, place=None)
    with line_lock():
        moves = stock_allot(person=buyer, reason="cancelled")
    assert [(move.kind, move.need, move.reserved) for move in moves] == [
        ("released", needs[0], Decimal(-1)),
        ("reserved", needs[2], Decimal(1)),
    ]
    with line_lock():
        assert stock_allot(person=buyer) == []  # a second time changes nothing


ACTS = st.one_of(
    st.tuples(st.just("receive"), st.integers(1, 4)),
    st.tuples(st.just("count"), st.integers(0, 6)),
    st.tuples(st.just("scrap"), st.integers(1, 2)),
    st.tuples(st.just("issue"), st.integers(0, 3)),
    st.tuples(st.just("return"), st.integers(0, 3)),
    st.tuples(st.just("move"), st.integers(0, 3)),
)


class AnyDay(TestCase):
    """Whatever happens in Stores, what is kept follows the line, to the unit."""

    @settings(max_examples=40)
    @given(st.lists(ACTS, min_size=1, max_size=9))
    def test_what_is_kept_follows_the_line(self, acts: list[tuple[str, int]]) -> None:
        made_shop.make_shop()
        motor = make_component("MOT-1")
        needs = [make_need(make_build(place), motor, 1 + place % 2) for place in range(1, 5)]
        for act, number in acts:
            try:
                do(act, number, motor, needs)
            except Refused:
                continue
            self.look(motor, needs)

    def look(self, motor: Component, needs: list[PartNeed]) -> None:
        issued, sums = issued_by_need(), reserved_by_need()
        left = StockMove.objects.aggregate(shelf=Sum("on_hand"))["shelf"] or NONE
        assert left >= 0
        for need in PartNeed.objects.order_by("build__place"):
            due = min(need.quantity - issued.get(need.pk, NONE), left)
            assert sums.get(need.pk, NONE) == due
            left -= due
        assert balance(motor).free == left


def do(act: str, number: int, motor: Component, needs: list[PartNeed]) -> None:
    if act == "receive":
        stock_receive(component=motor, quantity=Decimal(number), person=None)
    elif act == "count":
        stock_count(component=motor, counted=Decimal(number), reason="counted", person=None)
    elif act == "scrap":
        stock_scrap(component=motor, quantity=Decimal(number), reason="dropped", person=None)
    elif act == "issue":
        stock_issue(need=needs[number], person=None)
    elif act == "return":
        stock_return(need=needs[number], quantity=Decimal(1), reason="not yet", person=None)
    else:
        build_move(build=needs[number].build, place=1, reason="x", person=None)


def test_two_deliveries_and_a_count_at_once_agree(threads, morning: datetime) -> None:
    made_shop.make_shop()
    motor = make_component("MOT-1")
    needs = [make_need(make_build(place), motor, 1) for place in (1, 2, 3)]
    at_once = threads()
    at_once.run(
        [
            lambda: stock_receive(component=motor, quantity=Decimal(1), person=None),
            lambda: stock_receive(component=motor, quantity=Decimal(1), person=None),
            lambda: stock_scrap(component=motor, quantity=Decimal(1), reason="dropped", person=None),
        ]
    )
    shelf, sums = at_once.look(lambda: (balance(motor), kept(*needs)))
    assert shelf.on_hand in (1, 2)  # the scrap is refused when it comes first
    assert sums == [1, shelf.on_hand - 1, 0]
