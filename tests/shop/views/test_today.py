from __future__ import annotations

from datetime import date, datetime, timedelta
from decimal import Decimal

from django.test import Client
from django.urls import reverse

from shop.models import PurchaseOrder
from shop.services.builds import build_hold
from tests.shop.made_builds import make_build, make_order, make_order_line
from tests.shop.made_counter import text
from tests.shop.made_day import Day
from tests.shop.made_offers import MORNING, make_part
from tests.shop.queries import queries_of
from tests.shop.views.guards import EVERYONE, assert_guarded

HOME = reverse("today")
ENGINE_THEN_MOUNTS = ["Take the engine out", "Make the mounts"]


def test_today_is_for_everyone_who_is_signed_in(shop, client_as):
    assert_guarded(client_as, "today", roles=EVERYONE)


def test_it_is_the_first_page_after_signing_in(shop, person):
    user = person("counter")
    answer = Client().post(
        reverse("sign-in"), {"username": user.username, "password": "a long invented phrase"}, follow=True
    )
    assert (answer.redirect_chain[-1][0], answer.status_code) == (HOME, 200)
    assert "<h1>Today</h1>" in text(answer)


def test_an_empty_shop_says_what_to_do_next(shop, morning, client_as):
    desk, bench = text(client_as("counter").get(HOME)), text(client_as("builder").get(HOME))
    assert "Nobody is in line" in desk
    assert f'href="{reverse("quotes")}"' in desk
    assert "Nobody is in line" in bench
    assert reverse("quotes") not in bench


def test_what_is_pressing_comes_first_with_its_figure(day: Day, set_clock, client_as):
    """On the 26th of March the motor due on the 20th is 6 days overdue, and the promise can hold no longer."""
    set_clock(MORNING + timedelta(days=24))
    page = text(client_as("owner").get(HOME))
    assert '<strong class="late">1</strong> promise in danger' in page
    assert '<strong class="late">1</strong> delivery overdue' in page
    assert '<span class="late">late by 6 days</span>' in page
    assert f"{reverse('order-dates', args=[day.sent.public_id])}?part={day.motor.public_id}" in page


def test_parts_to_order_make_an_order_in_one_press(day: Day, set_clock, client_as):
    set_clock(MORNING + timedelta(days=30))
    client = client_as("counter")
    page = client.get(HOME)
    (group,) = [group for group in page.context["groups"] if group.supplier]
    sent = {"part": [part.public_id for part in group.form.parts.values()], "key": group.form["key"].value()}
    sent |= {name: group.form[name].value() for name in group.form.parts}
    assert group.supplier == day.supplier
    assert f'name="quantity-{day.cell.public_id}" value="480"' in text(page)  # 20 in series × 24
    answer = client.post(reverse("order-make", args=[day.supplier.public_id]), sent)
    made = PurchaseOrder.objects.get(key=sent["key"])
    assert answer.headers["Location"] == reverse("order", args=[made.public_id])
    assert made.lines.get(component=day.cell).quantity == Decimal(480)


def test_builders_see_no_quotes_orders_or_money(day: Day, set_clock, client_as):
    set_clock(MORNING + timedelta(days=30))
    page = text(client_as("builder").get(HOME))
    for word in ("Order today", "Deliveries overdue", "about to lapse", "New quote", "$"):
        assert word not in page
    assert "Benches today" in page
    assert day.build.number in page


def test_a_quote_about_to_lapse_is_told_with_the_days_left(day: Day, set_clock, client_as):
    """Offered on the 2nd of March for 30 days: the 1st of April is its last; on the 30th two days are left."""
    set_clock(MORNING + timedelta(days=28))
    page = text(client_as("counter").get(HOME))
    assert '<span class="soon">2 days left</span>' in page
    assert day.offered.quote.number in page


def test_benches_and_people_of_the_day(shop, morning, client_as):
    """Monday 9:00: the engine is out after 6 h, at 16:00 with lunch from 12 to 13; the mounts are begun until 17:00."""
    make_build(1, steps=True)
    page = client_as("builder").get(HOME)
    lanes = page.context["lanes"]
    assert [work.booking.label for lane in lanes.benches for work in lane.works] == ENGINE_THEN_MOUNTS
    assert {lane.name for lane in lanes.people} == {"Ana Example", "Ben Example"}


def test_a_build_on_hold_is_named_with_its_reason(day: Day, boss, client_as):
    build_hold(build=day.build, reason="Title is missing", person=boss)
    assert "Title is missing" in text(client_as("counter").get(HOME))


def test_queries_stay_flat_when_the_line_grows(shop, morning: datetime, client_as):
    """1 build and 1 overdue line against 50."""
    client, motor = client_as("owner"), make_part("MOT-1")

    def add(count: int, start: int) -> None:
        for place in range(start, start + count):
            make_build(place, steps=True, promised_from=date(2026, 2, 1), promised_to=date(2026, 2, 2))
            make_order_line(motor, 1, order=make_order(f"P-{place}"), expected_on=date(2026, 2, 20))

    add(1, 1)
    client.get(HOME)
    one = queries_of(lambda: client.get(HOME))
    add(49, 2)
    assert queries_of(lambda: client.get(HOME)) == one


def test_a_new_shop_is_told_what_to_enter_and_where(db, client_as):
    """An installation after its first `migrate`: nothing but a sign-in."""
    page = text(client_as("owner").get(HOME))
    assert "Still to enter before the first quote" in page
    for name in ("opening-hours", "admin:shop_person_changelist", "catalogue-import"):
        assert f'<a href="{reverse(name)}">' in page
    assert "Still to enter" not in text(client_as("counter").get(HOME))


def test_what_is_there_is_not_asked_for_again(shop, morning, client_as):
    missing = [each.words for each in client_as("owner").get(HOME).context["missing"]]
    assert "Opening hours" not in missing
    assert "Components, from a file or one by one" in missing
