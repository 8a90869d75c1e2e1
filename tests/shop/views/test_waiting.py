from __future__ import annotations

from datetime import date

from django.urls import reverse

from tests.shop.made_builds import make_build, make_need, make_order, make_order_line
from tests.shop.made_counter import text
from tests.shop.made_day import Day
from tests.shop.made_offers import make_part
from tests.shop.queries import queries_of
from tests.shop.views.guards import EVERYONE, assert_guarded

WAITING = reverse("waiting")


def test_who_may_see_what_waits(day: Day, client_as):
    assert_guarded(client_as, "waiting", roles=EVERYONE)


def test_nothing_waits_in_an_empty_shop(shop, client_as):
    assert "Nothing waits for a part" in text(client_as("builder").get(WAITING))


def test_by_part_all_builds_that_lack_it_stand_together(shop, morning, client_as):
    motor = make_part("MOT-1")
    for place in (1, 2, 3):
        make_need(make_build(place, steps=True), motor, 1, "wiring")
    order = make_order("P-310")
    make_order_line(motor, 2, order=order, expected_on=date(2026, 3, 20))
    page = client_as("counter").get(WAITING)
    (part,) = page.context["parts"]
    assert (part.component, [need.row.build.place for need in part.needs]) == (motor, [1, 2, 3])
    assert f"{reverse('order-dates', args=[order.public_id])}?part={motor.public_id}" in text(page)
    assert "not on order" in text(page)  # two come, the third is on no order


def test_by_build_every_part_it_lacks(day: Day, client_as):
    page = client_as("counter").get(WAITING, {"by": "build"})
    (waiting,) = page.context["builds"]
    assert waiting.row.build == day.build
    assert {need.component.code for need in waiting.needs} >= {"MOT-1", "CEL-1"}
    assert 'href="?by=build" aria-current="true"' in text(page)


def test_an_unknown_grouping_is_by_part(day: Day, client_as):
    assert client_as("counter").get(WAITING, {"by": "moon"}).context["by"] == "part"


def test_builders_see_no_way_to_orders(day: Day, client_as):
    page = text(client_as("builder").get(WAITING))
    assert day.sent.number in page
    assert reverse("orders") not in page
    assert "New date" not in page


def test_queries_stay_flat_from_one_build_to_fifty(shop, morning, client_as):
    client, motor = client_as("counter"), make_part("MOT-1")
    make_need(make_build(1, steps=True), motor, 1, "wiring")
    client.get(WAITING)
    one = queries_of(lambda: client.get(WAITING))
    for place in range(2, 51):
        make_need(make_build(place, steps=True), motor, 1, "wiring")
    assert queries_of(lambda: client.get(WAITING)) == one
