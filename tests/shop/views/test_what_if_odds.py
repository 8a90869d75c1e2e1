from __future__ import annotations

from datetime import date, timedelta
from types import SimpleNamespace
from typing import Any
from urllib.parse import urlencode

import pytest
from django.urls import reverse

from quoting.odds import Dice, simulate_line
from quoting.promise import prepare_shop
from shop.models import OpeningHours, PlanOdds, Trial
from shop.selectors.plan import plan_basis
from shop.services.line_lock import line_lock
from shop.services.odds import SEED, odds_draw
from shop.services.trials import trial_work
from tests.shop.made_builds import make_build, make_day_build, make_need, make_order, make_order_line
from tests.shop.made_counter import htmx, text
from tests.shop.made_offers import make_part
from tests.shop.queries import queries_of
from tests.shop.views.guards import DESK, assert_guarded

WHAT_IF, ASK = reverse("what-if"), reverse("what-if-odds")


@pytest.fixture
def query(shop, morning) -> dict[str, str]:
    """A motor on its way that the first build waits for; the second needs no part. Three weeks later."""
    motor = make_part("MOT-1")
    first = make_day_build(1, promised_from=date(2026, 3, 20), promised_to=date(2026, 4, 1))
    make_need(first, motor, 1, "wiring")
    make_day_build(2)
    made = make_order("P-310")
    make_order_line(motor, 1, order=made, expected_on=date(2026, 3, 20))
    return {"order": made.public_id, "late_days": "21"}


def ask(client: Any, query: dict[str, str], **sent: Any) -> Any:
    return client.post(f"{ASK}?{urlencode(query)}", **sent)


def queued(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """As if the worker had not come round yet: what it would be given."""
    waiting: list[str] = []
    monkeypatch.setattr("shop.trial_tasks.work_out_trial", SimpleNamespace(enqueue=waiting.append))
    return waiting


def test_who_may_ask_and_look(query, client_as):
    assert client_as("builder").post(ASK).status_code == 403
    assert client_as("counter").get(ASK).status_code == 405
    assert client_as("counter").post(ASK).status_code == 422
    ask(client_as("owner"), query)
    assert_guarded(client_as, "what-if-odds-answer", Trial.objects.get().public_id, roles=DESK)


def test_both_lines_stand_side_by_side_and_only_the_build_that_waits_moves(query, client_as):
    page = ask(client_as("counter"), query, headers=htmx(True))
    sure = page.context["sure"]
    assert [row.build.number for row in sure.rows] == ["B-1001", "B-1002"]
    assert [row.build.number for row in sure.moved] == ["B-1001"]
    first = sure.rows[0]
    # The motor comes on the 20th, or three weeks later on the 10th of April: no run ends before the motor is here.
    assert first.now.first >= date(2026, 3, 20)
    assert first.then.first >= date(2026, 4, 10)
    assert (first.now.last - first.now.first).days <= 21
    assert first.then.chance == 0
    assert first.now.chance > 0.5
    assert "<html" not in text(page)
    assert "hx-get" not in text(page)  # it is answered: nothing asks again


def test_the_days_are_those_of_the_engine_with_the_same_random_numbers(query, client_as):
    """`quoting.odds.simulate_line` asked directly, with the samples and the seed the answer names."""
    ask(client_as("owner"), query)
    odds = Trial.objects.get().odds
    assert odds is not None
    state, now, policies = plan_basis()
    drawn = simulate_line(prepare_shop(state, now, now.date(), policies), Dice(odds["samples"], SEED))
    for number, (before, _) in odds["builds"].items():
        assert before[:2] == [drawn[number].p50.isoformat(), drawn[number].p80.isoformat()]


def test_odds_the_line_has_already_are_not_drawn_again(query, client_as, monkeypatch):
    drawn = odds_draw()
    assert isinstance(drawn, PlanOdds)
    made: list[Any] = []

    def counted(*args: Any) -> Any:
        made.append(args)
        return simulate_line(*args)

    monkeypatch.setattr("shop.services.trials.simulate_line", counted)
    ask(client_as("owner"), query)
    assert len(made) == 1
    odds = Trial.objects.get().odds
    assert odds is not None
    assert set(odds["builds"]) == {"B-1001", "B-1002"}


def test_until_it_is_answered_the_page_says_how_far_it_is(query, client_as, monkeypatch, set_clock, morning):
    waiting, client = queued(monkeypatch), client_as("owner")
    page = ask(client, query, headers=htmx(True))
    trial = Trial.objects.get()
    assert waiting == [trial.public_id]
    address = reverse("what-if-odds-answer", args=[trial.public_id])
    assert "Waiting for the worker" in text(page)
    assert f'hx-get="{address}?' in text(page)
    Trial.objects.update(asked_at=morning - timedelta(seconds=40))
    assert "not taken up yet" in text(client.get(address))
    Trial.objects.update(started_at=morning)
    assert "being simulated" in text(client.get(address))
    Trial.objects.update(halves=1)
    assert "now as it would be" in text(client.get(address))
    Trial.objects.update(asked_at=morning - timedelta(minutes=6))
    assert "hx-get" not in text(client.get(address, headers=htmx(True)))
    trial_work(trial.public_id)
    assert "simulated runs" in text(client.get(address))
    assert trial_work(trial.public_id) == "answered already, or forgotten"


def test_the_same_question_is_worked_out_once(query, client_as, monkeypatch):
    waiting = queued(monkeypatch)
    for client in (client_as("owner"), client_as("counter")):
        ask(client, dict(reversed(query.items())))
        ask(client, {**query, "bench": ""})
    assert len(waiting) == Trial.objects.count() == 1
    ask(client_as("owner"), {**query, "late_days": "20"})
    with line_lock():
        pass
    ask(client_as("owner"), query)
    assert len(waiting) == Trial.objects.count() == 3


def test_one_whose_worker_is_gone_is_asked_again_and_old_ones_are_forgotten(query, client_as, monkeypatch, morning):
    waiting, client = queued(monkeypatch), client_as("owner")
    ask(client, query)
    Trial.objects.update(asked_at=morning - timedelta(minutes=11), started_at=morning, halves=1)
    ask(client, query)
    assert len(waiting) == 2
    assert Trial.objects.get().halves == 0
    Trial.objects.update(asked_at=morning - timedelta(days=2), ended_at=morning)
    ask(client, {**query, "late_days": "20"})
    assert Trial.objects.count() == 1


def test_an_answer_of_a_plan_that_has_moved_on_says_so(query, client_as):
    ask(client_as("owner"), query)
    with line_lock():
        pass
    page = client_as("owner").get(reverse("what-if-odds-answer", args=[Trial.objects.get().public_id]))
    assert "has changed since" in text(page)


def test_a_shop_without_open_time_is_told_what_to_do(query, client_as):
    OpeningHours.objects.all().delete()
    page = ask(client_as("owner"), query, headers=htmx(True))
    assert Trial.objects.get().said in text(page)
    assert Trial.objects.get().said


def test_without_script_it_leads_to_a_page_of_its_own(query, client_as):
    client = client_as("owner")
    assert f'action="{ASK}?' in text(client.get(WHAT_IF, query))
    answer = ask(client, query)
    assert answer.status_code == 302
    page = client.get(answer.headers["Location"])
    assert "<html" in text(page)
    assert f"{WHAT_IF}?order=" in text(page)


def test_queries_stay_flat(query, client_as):
    client = client_as("owner")
    ask(client, query)
    address = reverse("what-if-odds-answer", args=[Trial.objects.get().public_id])
    few = queries_of(lambda: client.get(address))
    for place in range(3, 9):
        make_build(place, steps=True)
    ask(client, {**query, "late_days": "20"})
    more = reverse("what-if-odds-answer", args=[Trial.objects.latest("pk").public_id])
    assert queries_of(lambda: client.get(more)) == few
