from __future__ import annotations

from datetime import date
from typing import Any
from urllib.parse import urlencode

import pytest
from django.urls import reverse

from shop.models import (
    Bench,
    BenchDowntime,
    Build,
    Event,
    Leave,
    Person,
    PromiseEntry,
    PurchaseOrder,
    PurchaseOrderLine,
)
from shop.services.errors import Refused
from shop.services.line_lock import line_lock
from tests.shop.made_builds import make_build, make_day_build, make_need, make_order, make_order_line
from tests.shop.made_counter import htmx, text
from tests.shop.made_offers import make_part
from tests.shop.made_parts import make_supplier
from tests.shop.queries import queries_of
from tests.shop.views.guards import DESK, assert_guarded

WHAT_IF, APPLY = reverse("what-if"), reverse("what-if-apply")
REASON = "Said on the phone"


@pytest.fixture
def order(shop, morning) -> PurchaseOrder:
    """A motor the first build's wiring waits for, expected on the 20th of March; the second build needs no part."""
    motor = make_part("MOT-1")
    first = make_day_build(1, promised_from=date(2026, 3, 20), promised_to=date(2026, 4, 10))
    make_need(first, motor, 1, "wiring")
    make_day_build(2)
    made = make_order("P-310")
    make_order_line(motor, 1, order=made, expected_on=date(2026, 3, 20))
    return made


def late(order: PurchaseOrder, days: int = 21) -> dict[str, str]:
    return {"order": order.public_id, "late_days": str(days)}


def apply(client: Any, query: dict[str, str], **sent: str) -> Any:
    """Press Apply on the page that shows these changes."""
    revision = client.get(WHAT_IF, query).context["found"].revision
    return client.post(f"{APPLY}?{urlencode(query)}", {"reason": REASON, "revision": revision, **sent})


def written() -> list[Any]:
    rows = (Build, Event, Leave, BenchDowntime, PurchaseOrderLine, PromiseEntry)
    return [list(model.objects.order_by("pk").values()) for model in rows]


def test_who_may_try_and_apply(order, client_as):
    assert_guarded(client_as, "what-if", roles=DESK)
    assert_guarded(client_as, "what-if-apply", roles=DESK, post_only=True)


def test_a_three_week_slip_moves_exactly_the_build_that_waits_and_writes_nothing(order, client_as):
    before = written()
    page = client_as("counter").get(WHAT_IF, late(order))
    found = page.context["found"]
    assert [(row.build.number, row.breaks) for row in found.moved] == [("B-1001", True)]
    assert [row.build.number for row in found.rows] == ["B-1001", "B-1002"]
    # 20 March and three weeks is 10 April: no day before it may be the finish.
    assert found.moved[0].from_before < date(2026, 4, 1)
    assert found.moved[0].from_after >= date(2026, 4, 10)
    assert "<strong>1</strong> of 2 builds would move" in text(page)
    assert "broken, late by" in text(page)
    assert written() == before


def test_a_supplier_three_weeks_late_moves_all_that_waits_for_it_and_nothing_else(order, client_as):
    """Two orders of one supplier, for the first and a third build; the second build waits for nothing, and a fourth for
    another supplier: with the others out of its way it may come earlier, never later."""
    others = (("P-311", 3, "CON-1", order.supplier), ("P-312", 4, "CHG-1", make_supplier("elsewhere")))
    for number, place, code, supplier in others:
        part = make_part(code)
        make_need(make_day_build(place), part, 1, "wiring")
        make_order_line(part, 1, order=make_order(number, supplier=supplier), expected_on=date(2026, 3, 20))
    before, query = written(), {"supplier": order.supplier.public_id, "late_days": "21"}
    found = client_as("counter").get(WHAT_IF, query).context["found"]
    assert [row.build.number for row in found.rows if (row.days_later or 0) > 0] == ["B-1001", "B-1003"]
    assert written() == before
    assert apply(client_as("counter"), query).status_code == 302
    days = dict(PurchaseOrderLine.objects.values_list("order__number", "expected_on"))
    assert days == {"P-310": date(2026, 4, 10), "P-311": date(2026, 4, 10), "P-312": date(2026, 3, 20)}


def test_one_order_or_all_of_a_supplier(order, client_as):
    answer = client_as("counter").get(WHAT_IF, {**late(order), "supplier": order.supplier.public_id})
    assert answer.status_code == 422
    assert "not both" in text(answer)


def test_the_same_question_gets_the_same_answer(order, client_as):
    client = client_as("owner")
    query = {**late(order), "bench_type": "pack", "overtime_h": "1"}
    first, again = (client.get(WHAT_IF, query).context["found"] for _ in range(2))
    assert first == again


def test_a_day_and_days_later_say_the_same(order, client_as):
    client = client_as("counter")
    by_day = client.get(WHAT_IF, {"order": order.public_id, "new_date": "2026-04-10"}).context["found"]
    assert by_day == client.get(WHAT_IF, late(order)).context["found"]


def test_each_kind_of_change_moves_what_it_concerns(order, client_as):
    client = client_as("owner")
    span = ("2026-03-02", "2026-03-13")

    def moved(**query: str) -> set[str]:
        return {row.build.number for row in client.get(WHAT_IF, query).context["found"].moved}

    waiting = Bench.objects.filter(bench_type__code="pack")
    for bench in waiting[1:]:
        BenchDowntime.objects.create(bench=bench, first=date(2026, 1, 1), last=date(2026, 12, 31), reason="Sold")
    down = {"bench": waiting[0].public_id, "bench_first": span[0], "bench_last": span[1]}
    assert moved(**down) == {"B-1002"}
    for person in Person.objects.filter(skills__code="electric")[1:]:
        Leave.objects.create(person=person, first=date(2026, 1, 1), last=date(2026, 12, 31))
    who = Person.objects.filter(skills__code="electric")[0]
    assert moved(person=who.public_id, person_first=span[0], person_last=span[1]) == {"B-1002"}
    second = Build.objects.get(number="B-1002")
    places = {
        row.build.number: row.place_after
        for row in client.get(WHAT_IF, {"build": second.public_id, "place": "1"}).context["found"].rows
    }
    assert places == {"B-1001": 2, "B-1002": 1}


def test_one_more_bench_and_longer_hours_are_tried_and_never_applied(shop, morning, client_as):
    for place in range(1, 7):
        make_day_build(place)
    client = client_as("owner")
    before = written()
    query = {"overtime_h": "4", "bench_type": "pack"}
    page = client.get(WHAT_IF, query)
    assert any((row.days_later or 0) < 0 for row in page.context["found"].rows)
    assert "entered in Settings" in text(page)
    assert "Apply these changes" not in text(page)
    answer = client.post(f"{APPLY}?{urlencode(query)}", {"reason": REASON, "revision": page.context["found"].revision})
    assert answer.status_code == 422
    assert written() == before


def test_applying_enters_the_day_with_its_reason_and_no_promise_moves(order, client_as):
    promised = list(Build.objects.order_by("pk").values_list("promised_from", "promised_to"))
    answer = apply(client_as("counter"), late(order))
    assert answer.headers["Location"] == reverse("line")
    line = order.lines.get()
    assert line.expected_on == date(2026, 4, 10)
    assert line.date_changes.latest("pk").reason == REASON
    assert list(Build.objects.order_by("pk").values_list("promised_from", "promised_to")) == promised


def test_what_is_applied_is_what_was_shown(order, client_as):
    client = client_as("owner")
    shown = client.get(WHAT_IF, late(order)).context["found"]
    apply(client, late(order))
    other = client.get(WHAT_IF, {"overtime_h": "1"}).context["found"]
    assert [(row.from_before, row.to_before) for row in other.rows] == [
        (row.from_after, row.to_after) for row in shown.rows
    ]


def test_all_kinds_are_applied_together(order, client_as):
    bench, who = Bench.objects.all()[0], Person.objects.all()[0]
    query = {
        **late(order),
        "bench": bench.public_id, "bench_first": "2026-03-05", "bench_last": "2026-03-06",
        "person": who.public_id, "person_first": "2026-03-09", "person_last": "2026-03-09",
        "build": Build.objects.get(number="B-1002").public_id, "place": "1",
    }  # fmt: skip
    apply(client_as("owner"), query)
    assert order.lines.get().expected_on == date(2026, 4, 10)
    assert BenchDowntime.objects.get().bench == bench
    assert (Leave.objects.get().person, Leave.objects.get().last) == (who, date(2026, 3, 9))
    assert list(Build.objects.order_by("place").values_list("number", flat=True)) == ["B-1002", "B-1001"]
    verbs = set(Event.objects.values_list("verb", flat=True))
    assert verbs >= {"expected day changed", "bench down entered", "leave entered", "moved in line"}
    assert not Event.objects.filter(verb="leave entered", reason=REASON).exists()  # why somebody is away is not logged


def test_when_one_change_is_refused_none_is_made(order, client_as, monkeypatch):
    def refused(**_: Any) -> None:
        raise Refused("The place is taken.", "place")

    monkeypatch.setattr("shop.services.what_if.build_move", refused)
    query = {**late(order), "build": Build.objects.get(number="B-1002").public_id, "place": "1"}
    before = written()
    answer = apply(client_as("owner"), query)
    assert answer.status_code == 422
    assert "The place is taken." in text(answer)
    assert REASON in text(answer)  # what was typed stays
    assert written() == before


def test_a_shop_that_changed_meanwhile_is_looked_at_again(order, client_as):
    client = client_as("owner")
    old = client.get(WHAT_IF, late(order)).context["found"].revision
    with line_lock():
        pass
    before = written()
    answer = client.post(f"{APPLY}?{urlencode(late(order))}", {"reason": REASON, "revision": old})
    assert answer.status_code == 422
    assert "changed since this was worked out" in text(answer)
    assert written() == before


def test_a_second_press_enters_nothing_twice(order, client_as):
    client, who = client_as("owner"), Person.objects.all()[0]
    query = {"person": who.public_id, "person_first": "2026-03-09", "person_last": "2026-03-10"}
    revision = client.get(WHAT_IF, query).context["found"].revision
    for expected in (302, 422):
        answer = client.post(f"{APPLY}?{urlencode(query)}", {"reason": REASON, "revision": revision})
        assert answer.status_code == expected
    assert Leave.objects.count() == 1


def test_the_counter_tries_what_only_the_owner_enters(order, client_as):
    client, query = client_as("counter"), {"build": Build.objects.get(number="B-1002").public_id, "place": "1"}
    page = client.get(WHAT_IF, query)
    assert "entered by the owner" in text(page)
    assert "Apply these changes" not in text(page)
    assert client.post(f"{APPLY}?{urlencode(query)}", {"reason": REASON, "revision": 0}).status_code == 403
    assert list(Build.objects.order_by("place").values_list("number", flat=True)) == ["B-1001", "B-1002"]


def test_applying_needs_its_reason(order, client_as):
    answer = apply(client_as("owner"), late(order), reason=" ")
    assert answer.status_code == 422
    assert "Fill this in." in text(answer)
    assert order.lines.get().expected_on == date(2026, 3, 20)


BAD: list[tuple[dict[str, str], str]] = [
    ({"order": ""}, "Choose at least one thing"),
    ({"late_days": "21"}, "Choose the order that comes"),
    ({"order": "P"}, "by how many days, or the new day"),
    ({"order": "P", "late_days": "3", "new_date": "2026-04-01"}, "one of the two"),
    ({"order": "P", "new_date": "2026-02-01"}, "That day has passed."),
    ({"order": "P", "new_date": "soon"}, "This is not a date."),
    ({"order": "P", "late_days": "0"}, "Write 1 or more."),
    ({"order": "no-such-id", "late_days": "3"}, "That is no longer here."),
    ({"bench": "B"}, "Enter the first day it is down."),
    ({"bench": "B", "bench_first": "2026-03-09", "bench_last": "2026-03-05"}, "Ends before it starts."),
    ({"bench": "B", "bench_first": "2026-02-09", "bench_last": "2026-02-10"}, "Those days have passed."),
    ({"bench_first": "2026-03-09"}, "Choose the bench."),
    ({"person_last": "2026-03-09"}, "Choose the person."),
    ({"build": "1"}, "Enter the place"),
    ({"build": "1", "place": "9"}, "The line has places 1 to 2."),
    ({"build": "1", "place": "1"}, "has place 1 already"),
    ({"place": "2"}, "Choose the build that would move."),
    ({"overtime_h": "30"}, "Write 6"),
    ({"bench_type": "moon"}, "That is no longer here."),
]


@pytest.mark.parametrize(("query", "said"), BAD)
def test_what_cannot_be_tried_is_told_beside_its_field(query: dict[str, str], said: str, order, client_as):
    known = {"P": order.public_id, "B": Bench.objects.all()[0].public_id, "1": Build.objects.get(place=1).public_id}
    ids = {"order", "bench", "build"}
    asked = {name: known.get(value, value) if name in ids else value for name, value in query.items()}
    answer = client_as("owner").get(WHAT_IF, asked)
    assert answer.status_code == 422
    assert said in text(answer)
    assert answer.context["found"] is None


def test_an_order_without_a_day_asks_for_one(order, client_as):
    order.lines.update(expected_on=None)
    client = client_as("owner")
    assert "Enter the day it would come" in text(client.get(WHAT_IF, late(order)))
    assert client.get(WHAT_IF, {"order": order.public_id, "new_date": "2026-04-10"}).context["found"].rows


def test_an_overdue_order_is_late_from_today_on(order, client_as):
    """Expected on the 20th of February, today the 2nd of March: 7 days later is the 9th of March."""
    order.lines.update(expected_on=date(2026, 2, 20))
    apply(client_as("owner"), late(order, 7))
    assert order.lines.get().expected_on == date(2026, 3, 9)


def test_a_build_that_is_ready_is_done_now_and_then(order, client_as):
    Build.objects.filter(number="B-1002").update(state="ready")
    page = text(client_as("owner").get(WHAT_IF, late(order)))
    assert '<span class="held">ready</span>' in page
    assert page.count('<span class="soft">done</span>') == 2


def test_script_gets_the_part_that_changes(order, client_as):
    part = text(client_as("owner").get(WHAT_IF, late(order), headers=htmx(True)))
    assert "<html" not in part
    assert "would move" in part


def test_queries_stay_flat_from_one_build_to_fifty(shop, morning, client_as):
    client, motor = client_as("owner"), make_part("MOT-1")
    made = make_order("P-310")
    make_order_line(motor, 50, order=made, expected_on=date(2026, 3, 20))
    make_need(make_build(1, steps=True), motor, 1, "wiring")
    client.get(WHAT_IF, late(made))
    one = queries_of(lambda: client.get(WHAT_IF, late(made)))
    for place in range(2, 51):
        make_need(make_build(place, steps=True), motor, 1, "wiring")
    assert queries_of(lambda: client.get(WHAT_IF, late(made))) == one
