from __future__ import annotations

from decimal import Decimal

from django.urls import reverse

from shop.models import Build, PromiseEntry, StockMove
from shop.selectors.balances import reserved_by_need
from shop.services.builds import build_hold
from shop.services.stock_issue import stock_issue
from tests.shop.made_builds import make_build, make_day_build, make_need
from tests.shop.made_counter import text
from tests.shop.made_day import Day
from tests.shop.made_offers import price_of
from tests.shop.queries import queries_of
from tests.shop.views.guards import DESK, EVERYONE, assert_guarded


def address(day: Day, name: str = "build", *more: str) -> str:
    return reverse(name, args=[day.build.public_id, *more])


def test_who_may_look_and_act(day: Day, client_as):
    build = day.build.public_id
    assert_guarded(client_as, "build", build, roles=EVERYONE)
    assert_guarded(client_as, "build-promise", build, roles=DESK)
    assert_guarded(client_as, "build-hold", build, roles=DESK)
    assert_guarded(client_as, "build-release", build, roles=DESK, post_only=True)
    assert_guarded(client_as, "build-ready", build, roles=EVERYONE, post_only=True)
    assert_guarded(client_as, "need-issue", build, day.charger.public_id, roles=EVERYONE, post_only=True)
    assert_guarded(client_as, "need-return", build, day.charger.public_id, roles=EVERYONE)


def test_the_desk_sees_money_papers_and_the_customers_link(day: Day, client_as):
    page = text(client_as("counter").get(address(day)))
    price = price_of(day.accepted)
    assert f"${price.deposit:,.2f}" in page
    assert f"${price.due - price.deposit:,.2f}" in page
    assert reverse("deposit-taken", args=[day.entry.public_id]) in page
    assert reverse("customer-page", args=[day.build.link_token]) in page
    assert "Deposit taken" in page


def test_builders_see_neither_money_nor_a_way_to_the_customer(day: Day, client_as):
    page = client_as("builder").get(address(day))
    assert page.context["page"].money is None
    for hidden in ("$", day.build.link_token, reverse("customer", args=[day.customer.public_id]), "Deposit taken"):
        assert hidden not in text(page)
    assert day.customer.name in text(page)


def test_parts_say_what_is_here_and_where_the_rest_comes_from(day: Day, client_as):
    page = text(client_as("builder").get(address(day)))
    assert "round cell 5 Ah" in page
    assert '<strong class="late">480</strong>' in page
    assert f"1 on {day.sent.number}, expected" in page
    assert "not on order" in page


def test_another_promise_is_offered_as_what_is_to_be_expected(day: Day, client_as):
    form = client_as("counter").get(address(day, "build-promise")).context["form"]
    row = client_as("counter").get(address(day)).context["page"].row
    assert (form["finish_from"].value(), form["finish_to"].value()) == (row.finish_from, row.finish_to)


def test_a_new_promise_keeps_the_old_one_with_the_reason(day: Day, client_as):
    client = client_as("counter")
    sent = {"finish_from": "2026-07-01", "finish_to": "2026-07-20", "reason": "The motor is backordered"}
    assert client.post(address(day, "build-promise"), sent).headers["Location"] == address(day)
    assert [entry.kind for entry in PromiseEntry.objects.order_by("pk")] == ["first", "changed"]
    page = text(client.get(address(day)))
    assert "The motor is backordered" in page
    assert "First promise, with the deposit." in page


def test_a_promise_that_cannot_be_stands_beside_its_field(day: Day, client_as):
    client = client_as("counter")
    sent = {"finish_from": "2026-07-20", "finish_to": "2026-07-01", "reason": "typed long"}
    answer = client.post(address(day, "build-promise"), sent)
    assert answer.status_code == 422
    assert answer.context["form"].errors == {"finish_to": ["The window ends before it begins. Enter a later last day."]}
    assert 'value="typed long"' in text(answer)
    unreadable = client.post(address(day, "build-promise"), {**sent, "finish_from": "next week"})
    assert "This is not a date. Write year, month and day" in text(unreadable)
    assert 'value="next week"' in text(unreadable)


def test_held_and_released(day: Day, client_as):
    client = client_as("counter")
    assert client.post(address(day, "build-hold"), {"reason": " "}).status_code == 422
    client.post(address(day, "build-hold"), {"reason": "Title is missing"})
    day.build.refresh_from_db()
    assert day.build.hold_reason == "Title is missing"
    again = client.post(address(day, "build-hold"), {"reason": "Money"})
    assert (again.status_code, "is on hold already: Title is missing" in text(again)) == (422, True)
    client.post(address(day, "build-release"))
    day.build.refresh_from_db()
    assert not day.build.on_hold


def test_a_press_that_is_refused_says_why_on_the_page(day: Day, client_as):
    answer = client_as("builder").post(address(day, "build-ready"))
    assert answer.status_code == 409
    assert "Take the engine out is not done. Finish every step first." in text(answer)


def test_a_kit_is_declared_ready_once_its_parts_are_here(shop, morning, boss, client_as):
    build = make_build(1, job="parts_kit")
    client = client_as("builder")
    assert "It is ready" in text(client.get(reverse("build", args=[build.public_id])))
    answer = client.post(reverse("build-ready", args=[build.public_id]), follow=True)
    assert f"{build} is ready." in text(answer)
    assert Build.objects.get(pk=build.pk).state == "ready"


def test_a_part_kept_is_issued_and_comes_back(day: Day, client_as):
    client, charger = client_as("builder"), day.charger.public_id
    client.post(address(day, "need-issue", charger))
    assert StockMove.objects.filter(kind="issued", component=day.charger).count() == 1
    again = client.post(address(day, "need-issue", charger))
    assert (again.status_code, "Receive or count it first" in text(again)) == (409, True)
    too_many = client.post(address(day, "need-return", charger), {"quantity": "2", "reason": "wrong one"})
    assert too_many.status_code == 422
    assert too_many.context["form"].errors["quantity"][0].endswith("Return at most that.")
    client.post(address(day, "need-return", charger), {"quantity": "1", "reason": "wrong one"})
    assert StockMove.objects.filter(kind="returned", component=day.charger, on_hand=Decimal(1)).count() == 1


def test_a_closed_build_has_nothing_to_press(day: Day, client_as):
    Build.objects.filter(pk=day.build.pk).update(state="cancelled", place=None)
    page = text(client_as("owner").get(address(day)))
    for word in ("Change promise", "Put on hold", ">Move<", ">Start<", ">Issue<"):
        assert word not in page


def test_a_hold_is_said_to_builders_without_a_way_to_end_it(day: Day, boss, client_as):
    build_hold(build=day.build, reason="Title is missing", person=boss)
    page = text(client_as("builder").get(address(day)))
    assert "Title is missing" in page
    assert reverse("build-release", args=[day.build.public_id]) not in page


def test_queries_stay_flat_whatever_steps_and_parts_a_build_has(day: Day, boss, client_as):
    """A kit with one part and no step against the conversion with 5 steps and its parts, one of them issued."""
    stock_issue(need=day.build.needs.get(component=day.charger), person=boss)
    kit = make_build(2, job="parts_kit")
    make_need(kit, day.motor, 1)
    client = client_as("owner")

    def queries(build: Build) -> int:
        page = reverse("build", args=[build.public_id])
        client.get(page)
        return queries_of(lambda: client.get(page))

    assert abs(queries(day.build) - queries(kit)) <= 1  # the kit has no bike to load


def test_a_kept_part_is_handed_over_after_seeing_whom_it_moves(day: Day, client_as):
    """The charger lies kept for the first build; a second one in line lacks it."""
    other = make_day_build(2)
    need = make_need(other, day.charger, 1)
    client, lend = client_as("counter"), reverse("need-lend", args=[day.build.public_id, day.charger.public_id])
    assert "Customer 2 Example" in text(client.get(lend))
    asked = f"{lend}?borrower={other.public_id}&quantity=1"
    assert "Hand it over" in text(client.get(asked))
    assert client.get(f"{lend}?borrower=nobody&quantity=1").status_code == 422
    form = client.get(asked).context["form"]
    key = form["key"].value()
    refused = client.post(asked, {"key": key, "reason": ""})
    assert refused.status_code == 422
    done = client.post(asked, {"key": key, "reason": "leaves on Friday", "override": "both agreed"}, follow=True)
    assert "is kept for B-1002 now." in text(done)
    assert reserved_by_need()[need.pk] == 1
    assert_guarded(client_as, "need-lend", day.build.public_id, day.charger.public_id, roles=DESK)
