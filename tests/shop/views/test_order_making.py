from __future__ import annotations

from decimal import Decimal

from django.urls import reverse

from shop.models import Offer, PurchaseOrder
from tests.shop.made_builds import make_build, make_need
from tests.shop.made_counter import text
from tests.shop.made_day import Day
from tests.shop.made_offers import make_part
from tests.shop.made_parts import SOUND, make_supplier
from tests.shop.queries import queries_of
from tests.shop.views.guards import DESK, assert_guarded

TO_MAKE = reverse("orders-to-make")


def test_who_may_order(day: Day, client_as):
    assert_guarded(client_as, "orders-to-make", roles=DESK)
    assert_guarded(client_as, "order-make", day.supplier.public_id, roles=DESK, post_only=True)


def test_nothing_to_order_in_an_empty_shop(shop, client_as):
    assert "Nothing to order" in text(client_as("counter").get(TO_MAKE))


def test_what_builds_lack_by_supplier_with_the_day_to_order_it(day: Day, client_as):
    page = client_as("counter").get(TO_MAKE)
    (group,) = page.context["groups"]
    rows = {row.component.code: row for row in group.rows}
    assert group.supplier == day.supplier
    assert rows["CEL-1"].needed == 480  # 20 in series × 24 in parallel
    assert "MOT-1" not in rows  # it is on its way
    assert f'<a href="{reverse("build", args=[day.build.public_id])}">{day.build.number}</a>' in text(page)


def test_only_what_is_ticked_is_ordered_and_a_second_press_leads_to_the_same_order(day: Day, client_as):
    client = client_as("counter")
    (group,) = client.get(TO_MAKE).context["groups"]
    sent = {
        "key": group.form["key"].value(),
        "part": [day.cell.public_id],
        f"quantity-{day.cell.public_id}": "500",
        f"quantity-{day.charger.public_id}": "9",
    }
    make = reverse("order-make", args=[day.supplier.public_id])
    answer = client.post(make, sent)
    order = PurchaseOrder.objects.get(key=sent["key"])
    assert answer.headers["Location"] == reverse("order", args=[order.public_id])
    assert [(line.component, line.quantity) for line in order.lines.all()] == [(day.cell, Decimal(500))]
    assert client.post(make, sent).headers["Location"] == answer.headers["Location"]
    assert PurchaseOrder.objects.filter(key=sent["key"]).count() == 1
    assert "480 on a draft" in text(client.get(TO_MAKE)) or "500 on a draft" in text(client.get(TO_MAKE))


def test_a_quantity_that_cannot_be_stays_as_typed(day: Day, client_as):
    sent = {"key": "k", "part": [day.cell.public_id], f"quantity-{day.cell.public_id}": "a lot"}
    answer = client_as("counter").post(reverse("order-make", args=[day.supplier.public_id]), sent)
    assert answer.status_code == 422
    assert 'value="a lot"' in text(answer)
    assert "is not a number" in text(answer)


def test_nothing_ticked_is_told(day: Day, client_as):
    answer = client_as("counter").post(reverse("order-make", args=[day.supplier.public_id]), {"key": "k"})
    assert (answer.status_code, "Choose at least one part." in text(answer)) == (422, True)


def test_a_supplier_that_does_not_sell_it_is_refused(day: Day, client_as):
    other = make_supplier("elsewhere")
    sent = {"key": "k", "part": [day.cell.public_id], f"quantity-{day.cell.public_id}": "1"}
    answer = client_as("counter").post(reverse("order-make", args=[other.public_id]), sent)
    assert (answer.status_code, "is not entered as selling" in text(answer)) == (422, True)


def test_what_nobody_sells_stands_apart(day: Day, client_as):
    Offer.objects.filter(component=day.cell).delete()
    page = text(client_as("counter").get(TO_MAKE))
    assert "Nobody sells these" in page
    assert "Nobody is entered who sells round cell 5 Ah" in page


def test_queries_stay_flat_from_one_part_to_many(shop, morning, client_as):
    client, build = client_as("counter"), make_build(1, steps=True)
    codes = list(SOUND)
    make_need(build, make_part(codes[0]), 1)
    client.get(TO_MAKE)
    one = queries_of(lambda: client.get(TO_MAKE))
    for code in codes[1:]:
        make_need(build, make_part(code), 1)
    assert len(client.get(TO_MAKE).context["groups"][0].rows) == len(codes)
    assert queries_of(lambda: client.get(TO_MAKE)) == one
