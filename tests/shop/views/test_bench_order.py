from __future__ import annotations

from datetime import date
from typing import Any
from urllib.parse import urlencode

import pytest
from django.urls import reverse

from quoting.result import LinePlan
from shop.models import Build, BuildStep, Event, PromiseEntry, StepState, StepTurn
from shop.selectors.bench_order import order_preview, step_of
from shop.selectors.plan import line_plan
from shop.services.bench_order import turn_give_back, turn_take
from shop.services.errors import Refused
from shop.services.line_lock import line_lock
from tests.shop.made_builds import make_build, make_day_build, make_need, make_order, make_order_line
from tests.shop.made_counter import text
from tests.shop.made_offers import make_part
from tests.shop.queries import queries_of
from tests.shop.views.guards import EVERYONE, UNKNOWN, assert_guarded

ORDER, PLAN = reverse("bench-order"), reverse("bench-plan")
REASON = "Needed for a wedding"


@pytest.fixture
def two(shop, morning) -> tuple[BuildStep, BuildStep]:
    """Two builds of one step of six hours on the one pack bench; from Monday 9:00 the first takes Monday.

    The first is promised for Monday the 2nd: put behind the other, it is a day late.
    """
    first = make_day_build(1, promised_from=date(2026, 3, 2), promised_to=date(2026, 3, 2))
    return first.steps.get(), make_day_build(2).steps.get()


def seen(step: BuildStep, before: BuildStep) -> dict[str, str]:
    return {
        "step": step.public_id,
        "before": before.public_id,
        "by": "person",
        "span": "quarter",
        "first": "2026-03-02",
    }


def press(client: Any, step: BuildStep, before: BuildStep, **sent: Any) -> Any:
    page = client.get(ORDER, seen(step, before))
    revision = page.context["found"].revision
    return client.post(f"{ORDER}?{urlencode(seen(step, before))}", {"reason": REASON, "revision": revision, **sent})


def starts(plan: LinePlan) -> list[str]:
    (lane,) = [lane for lane in plan.benches if lane.bookings]
    return [each.build for each in lane.bookings]


def written() -> list[Any]:
    return [list(model.objects.order_by("pk").values()) for model in (Build, BuildStep, StepTurn, Event, PromiseEntry)]


def test_who_may_change_the_order(two, client_as):
    for role, status in {"owner": 200, "builder": 200, "counter": 403}.items():
        assert client_as(role).get(ORDER, seen(two[1], two[0])).status_code == status
    assert client_as("builder").get(ORDER, {**seen(*two), "step": UNKNOWN}).status_code == 404
    assert client_as("owner").get(ORDER, seen(two[0], two[0])).status_code == 404
    assert client_as("owner").delete(ORDER).status_code == 405
    assert client_as("owner").get(ORDER).status_code == 302
    turn = StepTurn.objects.create(first=two[1], then=two[0], reason="Said")
    assert_guarded(client_as, "turn-back", turn.public_id, roles=("owner", "builder"))


def test_the_plan_offers_neighbors_of_other_builds_to_those_who_may(two, client_as):
    href = f'href="{ORDER}?step={two[1].public_id}&amp;before={two[0].public_id}&amp;by=bench'
    page = text(client_as("builder").get(PLAN))
    assert page.count(href) == 2  # the second earlier, the first later: both ask for the same
    assert "Earlier" not in text(client_as("counter").get(PLAN))


def test_what_moves_is_shown_before_anything_is_written(two, client_as):
    before = written()
    page = client_as("builder").get(ORDER, seen(two[1], two[0]))
    found = page.context["found"]
    assert [(row.build.number, row.breaks) for row in found.changes] == [("B-1001", True), ("B-1002", False)]
    assert "1 promise would be broken" in text(page)
    assert written() == before


def test_entered_it_moves_the_plan_and_neither_promise_nor_place(two, client_as):
    assert starts(line_plan()) == ["B-1001", "B-1002"]
    promised = list(Build.objects.order_by("pk").values_list("promised_from", "promised_to", "place"))
    answer = press(client_as("builder"), two[1], two[0])
    assert answer.headers["Location"] == f"{PLAN}?by=person&span=quarter&first=2026-03-02"
    assert starts(line_plan()) == ["B-1002", "B-1001"]
    assert list(Build.objects.order_by("pk").values_list("promised_from", "promised_to", "place")) == promised
    assert {(event.subject, event.reason) for event in Event.objects.filter(verb="bench order changed")} == {
        ("B-1001", REASON),
        ("B-1002", REASON),
    }
    assert REASON in text(client_as("counter").get(PLAN))


def test_the_reason_is_asked_for_and_kept_what_was_seen(two, client_as):
    answer = press(client_as("owner"), two[1], two[0], reason=" ")
    assert answer.status_code == 422
    assert not StepTurn.objects.exists()


def test_a_shop_that_has_changed_meanwhile_is_looked_at_again(two, client_as):
    client = client_as("owner")
    revision = client.get(ORDER, seen(two[1], two[0])).context["found"].revision
    with line_lock():
        pass
    answer = press(client, two[1], two[0], revision=revision)
    assert answer.status_code == 422
    assert "has changed since" in text(answer)
    assert not StepTurn.objects.exists()


def test_a_second_press_changes_nothing(two, boss):
    found = order_preview(first=two[1], then=two[0])
    for _ in range(2):
        turn_take(first=two[1], then=two[0], revision=found.revision, reason=REASON, person=boss)
    assert StepTurn.objects.count() == 1
    assert Event.objects.filter(verb="bench order changed").count() == 2


def test_the_other_way_round_gives_the_turn_back(two, boss, client_as):
    turn_take(first=two[1], then=two[0], revision=0, reason=REASON, person=boss)
    page = client_as("owner").get(ORDER, seen(two[0], two[1]))
    assert page.context["found"].back
    press(client_as("owner"), two[0], two[1])
    assert not StepTurn.objects.exists()
    assert starts(line_plan()) == ["B-1001", "B-1002"]


def test_a_turn_is_given_back_after_seeing_whom_that_moves(two, boss, client_as):
    turn_take(first=two[1], then=two[0], revision=0, reason=REASON, person=boss)
    turn, client = StepTurn.objects.get(), client_as("builder")
    address = reverse("turn-back", args=[turn.public_id])
    page = client.get(address)
    assert {row.build.number for row in page.context["found"].changes} == {"B-1001", "B-1002"}
    answer = client.post(address, {"reason": "The wedding is off", "revision": page.context["found"].revision})
    assert answer.status_code == 302
    assert starts(line_plan()) == ["B-1001", "B-1002"]
    turn_give_back(turn=turn, revision=0, reason="Again", person=boss)  # safe to repeat
    assert Event.objects.filter(verb="bench order given back").count() == 2


def test_a_step_that_waits_for_a_part_is_refused_with_the_part(two, client_as):
    motor = make_part("MOT-1")
    make_need(two[1].build, motor, 1, "wiring")
    make_order_line(motor, 1, order=make_order("P-310"), expected_on=date(2026, 3, 20))
    page = client_as("owner").get(ORDER, seen(two[1], two[0]))
    said = page.context["found"].refused
    assert said.startswith("Wire and set up of B-1002 can't start before Mar 2")  # the 20th and a day of goods in
    assert motor.name in said
    assert "Do it in this order" not in text(page)
    answer = client_as("owner").post(
        f"{ORDER}?{urlencode(seen(two[1], two[0]))}", {"reason": REASON, "revision": page.context["found"].revision}
    )
    assert answer.status_code == 422
    assert not StepTurn.objects.exists()


def test_a_step_waits_for_the_steps_of_its_own_build(shop, morning):
    """Mounts come after the teardown of the same build: they cannot have their turn before another build's teardown
    that can start at once."""
    one, two = make_build(1, steps=True), make_build(2, steps=True)
    mounts, teardown = two.steps.get(code="mounts"), one.steps.get(code="teardown")
    found = order_preview(first=step_of(mounts.public_id), then=step_of(teardown.public_id))
    assert not found.refused  # the second build's teardown comes along
    assert found.starts is not None
    inside = order_preview(first=step_of(mounts.public_id), then=step_of(two.steps.get(code="teardown").public_id))
    assert "follow each other" in inside.refused


@pytest.mark.parametrize(("changed", "said"), [("doing", "is under way"), ("hold", "is not planned: on hold")])
def test_what_is_under_way_or_on_hold_keeps_its_place(two, changed: str, said: str, morning):
    if changed == "doing":
        BuildStep.objects.filter(pk=two[0].pk).update(state=StepState.DOING, started_at=morning)
    else:
        Build.objects.filter(pk=two[0].build_id).update(hold_reason="Title missing")
    found = order_preview(first=step_of(two[1].public_id), then=step_of(two[0].public_id))
    assert said in found.refused


def test_what_comes_first_already_is_said(two):
    assert "already" in order_preview(first=two[0], then=two[1]).refused


def test_a_refusal_in_the_service_is_no_crash(two, boss):
    with pytest.raises(Refused, match="already"):
        turn_take(first=two[0], then=two[1], revision=0, reason=REASON, person=boss)


def test_queries_stay_flat(two, client_as):
    client = client_as("owner")
    client.get(ORDER, seen(two[1], two[0]))
    few = queries_of(lambda: client.get(ORDER, seen(two[1], two[0])))
    for place in range(3, 23):
        make_build(place, steps=True)
    assert queries_of(lambda: client.get(ORDER, seen(two[1], two[0]))) == few


def test_everybody_sees_turns_on_the_plan(two, boss, client_as):
    turn_take(first=two[1], then=two[0], revision=0, reason=REASON, person=boss)
    for role in EVERYONE:
        assert "Not in the order of the line" in text(client_as(role).get(PLAN))
