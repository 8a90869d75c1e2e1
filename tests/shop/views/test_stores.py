from __future__ import annotations

from decimal import Decimal

import pytest
from django.urls import reverse

from shop.models import Component, StockMove
from shop.selectors.balances import stock_balances
from tests.shop.made_counter import htmx, text
from tests.shop.made_day import Day
from tests.shop.made_parts import receive
from tests.shop.queries import queries_of
from tests.shop.views.guards import DESK, EVERYONE, assert_guarded

STORES = reverse("stores")


def on_hand(component: Component) -> Decimal:
    return stock_balances()[component.pk].on_hand


def press(client, name: str, component: Component, **changed: str):
    """The form as the page shows it, with what is changed."""
    address = reverse(name, args=[component.public_id])
    form = client.get(address).context["form"]
    sent = {bound.name: bound.value() for bound in form if bound.value() is not None}
    return client.post(address, {**sent, **changed}), {**sent, **changed}, address


def test_who_may_look_and_count(day: Day, client_as):
    part = day.motor.public_id
    assert_guarded(client_as, "stores", roles=EVERYONE)
    for name in ("stock", "stock-count", "stock-receive", "stock-scrap"):
        assert_guarded(client_as, name, part, roles=EVERYONE)
    assert_guarded(client_as, "stock-send-back", part, roles=DESK)
    assert_guarded(client_as, "need-numbers", day.build.public_id, part, roles=EVERYONE)


def test_every_part_with_its_sums(day: Day, client_as):
    rows = {row.component.code: row for row in client_as("builder").get(STORES).context["found"].rows}
    charger, motor = rows["CHG-1"], rows["MOT-1"]
    assert (charger.on_hand, charger.reserved, charger.free) == (1, 1, 0)  # the build in line has it kept
    assert (motor.on_order, motor.short) == (1, 1)


def test_filters_stand_in_the_address(day: Day, client_as):
    client = client_as("counter")

    def codes(**query: str) -> set[str]:
        return {row.component.code for row in client.get(STORES, query).context["found"].rows}

    assert codes(q="hub motor") == {"MOT-1"}
    assert codes(kind="charger") == {"CHG-1"}
    assert codes(show="here") == {"CHG-1"}
    assert "CEL-1" in codes(show="short")
    assert codes(q="no such part") == set()
    assert len(codes(kind="no such kind")) == len(codes())
    assert "No part fits" in text(client.get(STORES, {"q": "no such part"}))


def test_script_gets_the_same_list_without_the_page(day: Day, client_as):
    part = text(client_as("counter").get(STORES, {"q": "motor"}, headers=htmx(True)))
    assert "<html" not in part
    assert "hub motor 10 kW 72 V" in part


def test_a_part_shows_who_needs_it_what_is_due_and_its_moves(day: Day, client_as):
    page = text(client_as("builder").get(reverse("stock", args=[day.motor.public_id])))
    assert "short by 1" in page
    assert day.build.number in page
    assert f"1 on {day.sent.number}," in page
    assert reverse("order", args=[day.sent.public_id]) not in page  # builders have no orders
    assert "None yet. Count the shelf to begin." in page


def test_a_count_that_differs_needs_its_reason(day: Day, client_as):
    client = client_as("builder")
    answer, _, _ = press(client, "stock-count", day.motor, counted="3")
    assert answer.status_code == 422
    assert "The count differs from the books. Say why" in text(answer)
    assert 'value="3"' in text(answer)
    answer, sent, address = press(client, "stock-count", day.motor, counted="3", reason="found behind the lathe")
    assert answer.headers["Location"] == reverse("stock", args=[day.motor.public_id])
    assert on_hand(day.motor) == 3
    client.post(address, sent)  # back, and pressed once more
    assert on_hand(day.motor) == 3


def test_a_count_is_refused_when_the_shelf_moved_meanwhile(day: Day, client_as):
    client, address = client_as("builder"), reverse("stock-count", args=[day.motor.public_id])
    form = client.get(address).context["form"]
    receive(day.motor, 1)
    answer = client.post(
        address, {"key": form["key"].value(), "seen": form["seen"].value(), "counted": "1", "reason": "x"}
    )
    assert answer.status_code == 422
    assert "moved while you counted: the books say 1 now, not 0" in text(answer)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "Fill this in."),
        ("two", "is not a number"),
        ("-1", "or more."),
        ("0.5", "is counted in whole pieces"),
    ],
)
@pytest.mark.parametrize("name", ["stock-receive", "stock-scrap"])
def test_quantities_that_cannot_be(name: str, typed: str, said: str, day: Day, client_as):
    answer, _, _ = press(client_as("counter"), name, day.motor, quantity=typed, reason="r", unnumbered="on")
    assert answer.status_code == 422
    assert said in text(answer)
    assert f'value="{typed}"' in text(answer) or not typed


def test_received_without_an_order_it_is_kept_for_the_first_in_line(day: Day, client_as):
    answer, sent, address = press(client_as("counter"), "stock-receive", day.motor, quantity="2")
    assert (answer.status_code, "Enter a number for each unit" in text(answer)) == (422, True)
    answer, sent, address = press(client_as("counter"), "stock-receive", day.motor, quantity="2", serials="M-1\nM-2")
    assert answer.status_code == 302
    assert stock_balances()[day.motor.pk].reserved == 1
    client_as("counter").post(address, sent)
    assert on_hand(day.motor) == 2  # pressed twice, received once


def test_scrapped_with_its_reason_and_never_more_than_is_there(day: Day, client_as):
    client = client_as("builder")
    answer, _, _ = press(client, "stock-scrap", day.charger, quantity="1", reason="fell off the bench")
    assert answer.status_code == 302
    assert on_hand(day.charger) == 0
    assert StockMove.objects.get(kind="scrapped").reason == "fell off the bench"
    again, _, _ = press(client, "stock-scrap", day.charger, quantity="1", reason="r")
    assert (again.status_code, "Only 0 of charger" in text(again)) == (422, True)


def test_a_form_that_arrives_damaged_changes_nothing(day: Day, client_as):
    address = reverse("stock-receive", args=[day.motor.public_id])
    answer = client_as("counter").post(address, {"quantity": "1", "reason": "r"})
    assert answer.status_code == 422
    assert "This form arrived damaged" in text(answer)
    assert day.motor.pk not in stock_balances()


def test_queries_stay_flat_from_one_part_to_fifty(day: Day, client_as):
    client = client_as("counter")
    client.get(STORES, {"q": "MOT-1"})
    one = queries_of(lambda: client.get(STORES, {"q": "MOT-1"}))
    for number in range(50):
        Component.objects.create(code=f"BLT-{number}", kind="hardware", name=f"bolt {number}", spec={})
    assert queries_of(lambda: client.get(STORES)) == one


def test_numbers_are_scanned_in_and_chosen_for_a_build(day: Day, client_as):
    client = client_as("builder")
    press(client, "stock-receive", day.motor, quantity="2", serials="M-1, M-2\n")
    page = text(client.get(reverse("stock", args=[day.motor.public_id])))
    assert "M-1" in page
    numbers = reverse("need-numbers", args=[day.build.public_id, day.motor.public_id])
    wrong = client.post(numbers, {"serials": "M-1\nM-2"})
    assert (wrong.status_code, "1 are kept for" in text(wrong), "M-2" in text(wrong)) == (422, True, True)
    built = text(client.post(numbers, {"serials": "M-2"}, follow=True))
    assert "No. M-2, chosen, on the shelf" in built
    assert client.get(reverse("need-numbers", args=[day.build.public_id, day.cell.public_id])).status_code == 404


def test_sent_back_to_the_supplier(day: Day, client_as):
    client = client_as("counter")
    answer, _, _ = press(client, "stock-send-back", day.charger, quantity="1", reason="hums")
    assert (answer.status_code, on_hand(day.charger)) == (302, Decimal(0))


def test_the_sums_of_another_day(day: Day, client_as):
    """One motor is expected on the 20th of March, one build takes one; before the 2nd there was nothing."""
    client, address = client_as("builder"), reverse("stock", args=[day.motor.public_id])

    def sums(on: str) -> tuple[int, ...]:
        found = client.get(address, {"on": on}).context["sums"]
        return tuple(int(each) for each in (found.on_hand, found.reserved, found.on_order, found.short))

    assert sums("2026-03-02") == (0, 0, 1, 1)
    assert sums("2026-03-19") == (0, 0, 1, 1)
    assert sums("2026-03-20") == (1, 1, 0, 0)  # here, and kept until its step
    assert sums("2027-03-20") == (0, 0, 0, 0)  # taken by the build
    assert sums("2026-02-20") == (0, 0, 1, 0)  # ordered on the 2nd of February; no build yet
    assert sums("no day") == (0, 0, 1, 1)
