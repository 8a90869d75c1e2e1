from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from shop.models import Bench, Build, BuildStep, Person
from tests.shop.made_builds import make_build
from tests.shop.made_counter import htmx, text
from tests.shop.made_day import Day
from tests.shop.queries import queries_of
from tests.shop.views.guards import EVERYONE, assert_guarded

MINE = reverse("my-bench")


@pytest.fixture
def build(shop, morning) -> Build:
    return make_build(1, steps=True)


@pytest.fixture
def ana(build: Build, person: Callable[[str], User]) -> Client:
    """Ana, who takes engines out and makes mounts, signed in on her phone."""
    user = person("builder")
    Person.objects.filter(name="Ana Example").update(user=user)
    client = Client()
    client.force_login(user)
    return client


def step(build: Build, code: str = "teardown") -> BuildStep:
    return build.steps.get(code=code)


def start(build: Build, client: Client, code: str = "teardown", script: bool = False, **changed: str):
    row = step(build, code)
    prefix = f"step-{row.public_id}"
    bench = Bench.objects.get(bench_type=row.bench_type)
    sent = {
        "at": "bench",
        "worker": Person.objects.get(name="Ana Example").public_id,
        "bench": bench.public_id,
        **changed,
    }
    named = {name if name == "at" else f"{prefix}-{name}": value for name, value in sent.items()}
    return client.post(reverse("step-start", args=[row.public_id]), named, headers=htmx(script))


def test_who_may_work_on_steps(day: Day, client_as):
    step_id = day.step().public_id
    assert_guarded(client_as, "my-bench", roles=EVERYONE)
    assert_guarded(client_as, "step-start", step_id, roles=EVERYONE, post_only=True)
    assert_guarded(client_as, "step-finish", step_id, roles=EVERYONE, post_only=True)
    assert_guarded(client_as, "step-pause", step_id, roles=EVERYONE)
    assert_guarded(client_as, "step-reopen", step_id, roles=EVERYONE)


def test_an_account_that_is_nobody_is_told_what_to_do(shop, client_as):
    assert "No bench is yours yet" in text(client_as("builder").get(MINE))


def test_somebody_without_work_is_told_so(shop, morning, person):
    user = person("builder")
    Person.objects.filter(name="Ana Example").update(user=user)
    client = Client()
    client.force_login(user)
    assert "Nothing is planned for you" in text(client.get(MINE))


def test_what_is_next_with_bench_and_person_chosen_beforehand(build: Build, ana: Client):
    page = ana.get(MINE)
    first = page.context["coming"][0]
    assert first.acts.row.step == step(build)
    assert first.acts.start.said == "Ana Example on Fab 1"
    assert "<h2>Next</h2>" in text(page)


def test_started_and_finished_with_two_presses(build: Build, ana: Client):
    answer = start(build, ana)
    assert answer.headers["Location"] == MINE
    assert step(build).state == "doing"
    page = ana.get(MINE)
    assert [card.acts.row.step for card in page.context["doing"]] == [step(build)]
    assert "Take the engine out is started." in text(page)
    finish = reverse("step-finish", args=[step(build).public_id])
    sent = {"at": "bench", f"step-{step(build).public_id}-worked_h": "5:30"}
    assert ana.post(finish, sent).headers["Location"] == MINE
    assert (step(build).state, step(build).actual_h) == ("done", Decimal("5.5"))


def test_with_script_the_bench_itself_comes_back(build: Build, ana: Client):
    part = start(build, ana, script=True)
    assert part.status_code == 200
    assert "<html" not in text(part)
    assert "Take the engine out is started." in text(part)
    assert "<h2>Under way</h2>" in text(part)


def test_pressed_on_the_builds_page_it_leads_back_there(build: Build, ana: Client):
    address = reverse("build", args=[build.public_id])
    assert start(build, ana, at="build").headers["Location"] == address
    part = start(build, ana, script=True, at="build")  # once more: the same press changes nothing
    assert part.status_code == 200
    assert 'id="steps"' in text(part)


def test_a_taken_bench_is_told_at_the_step_and_what_was_chosen_stays(build: Build, ana: Client):
    other = make_build(2, steps=True)
    start(build, ana)
    answer = start(other, ana)
    assert answer.status_code == 422
    form = next(card.acts.start for card in answer.context["coming"] if card.acts.row.step == step(other))
    assert form.errors["worker"][0].startswith("Ana Example is on B-1001 Take the engine out.")
    assert step(other).state == "todo"


def test_without_a_choice_it_asks_for_one(build: Build, ana: Client):
    answer = start(build, ana, bench="")
    assert answer.status_code == 422
    assert "Choose a bench of the type Fab." in text(answer)


def test_hours_that_cannot_be_read_stay_as_typed(build: Build, ana: Client):
    start(build, ana)
    finish = reverse("step-finish", args=[step(build).public_id])
    answer = ana.post(finish, {"at": "bench", f"step-{step(build).public_id}-worked_h": "five"})
    assert answer.status_code == 422
    assert 'value="five"' in text(answer)
    assert step(build).state == "doing"


def test_put_down_with_what_it_waits_for(build: Build, ana: Client):
    start(build, ana)
    pause = reverse("step-pause", args=[step(build).public_id])
    assert ana.post(pause, {"reason": ""}).status_code == 422
    answer = ana.post(f"{pause}?at=bench", {"reason": "A bolt is seized", "worked_h": "2"})
    assert answer.headers["Location"] == MINE
    assert (step(build).state, step(build).actual_h) == ("todo", Decimal(2))


def test_a_step_pressed_done_by_mistake_is_taken_back_on_the_builds_page(build: Build, ana: Client):
    again, page = reverse("step-reopen", args=[step(build).public_id]), reverse("build", args=[build.public_id])
    start(build, ana)
    assert again not in text(ana.get(page))
    ana.post(reverse("step-finish", args=[step(build).public_id]), {f"step-{step(build).public_id}-worked_h": "4"})
    assert again in text(ana.get(page))
    refused = ana.post(again, {"reason": "  "})
    assert refused.status_code == 422
    assert ana.post(again, {"reason": "The wrong bike"}).headers["Location"] == page
    assert (step(build).state, step(build).actual_h) == ("todo", Decimal(4))
    twice = ana.post(again, {"reason": "The wrong bike"})
    assert (twice.status_code, "is not done" in text(twice), "The wrong bike" in text(twice)) == (422, True, True)


def test_the_test_cannot_be_started_before_the_rest(build: Build, ana: Client):
    answer = start(build, ana, "road-test")
    assert answer.status_code == 422
    assert "The test comes last." in text(answer)


def test_queries_stay_flat_from_one_build_to_fifty(build: Build, ana: Client):
    """A person's next few steps are shown, however long the line: each build among them takes its steps once."""
    ana.get(MINE)
    few = queries_of(lambda: ana.get(MINE))
    for place in range(2, 51):
        make_build(place, steps=True)
    ana.get(MINE)
    shown = {card.build.pk for card in ana.get(MINE).context["coming"]}
    assert queries_of(lambda: ana.get(MINE)) <= few + len(shown) - 1
