from __future__ import annotations

from datetime import date
from io import StringIO
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command
from django.urls import reverse

from shop.models import Build, BuildStep, Event, OpeningHours, PromiseEntry, Replan, StepTurn
from shop.selectors.plan import line_plan
from shop.selectors.replans import replan_waiting
from shop.services.bench_order import turn_take
from shop.services.errors import Refused
from shop.services.line_lock import line_lock
from shop.services.replan_follow import replan_follow
from tests.shop.made_builds import make_day_build
from tests.shop.made_counter import text
from tests.shop.views.guards import OWNER_ONLY, assert_guarded

REASON = "The short one is out of the way"


@pytest.fixture
def boss(person: Any) -> User:
    made: User = person("owner")
    return made


@pytest.fixture
def long_and_short(shop, morning) -> tuple[BuildStep, BuildStep]:
    """One bench and one person for all, from Monday 9:00: fifteen hours, which fill Monday and Tuesday, the days in
    which nothing is moved about; then twelve, then six. In the order of the line they are finished after 15, 27 and 33
    open hours, 75 in all; the short one before the long one, after 15, 21 and 33, 69 in all."""
    steps = []
    for place, hours in ((1, 15), (2, 12), (3, 6)):
        step = make_day_build(place).steps.get()
        BuildStep.objects.filter(pk=step.pk).update(low_h=hours, likely_h=hours, high_h=hours)
        steps.append(step)
    return steps[1], steps[2]


def run(*options: str, command: str = "replan") -> str:
    out = StringIO()
    call_command(command, *options, stdout=out)
    return out.getvalue()


def written() -> list[Any]:
    return [list(model.objects.order_by("pk").values()) for model in (Build, BuildStep, StepTurn, Event, PromiseEntry)]


def test_each_build_is_told_now_and_then_with_bound_gap_method_and_what_ended_it(long_and_short):
    before = written()
    said = run("--seconds", "20")
    # From Wednesday: 12 h end on Thursday, 18 h on Friday; the short one first on Wednesday.
    assert "B-1002       Mar 5, 2026    Mar 6, 2026" in said
    assert "B-1003       Mar 6, 2026    Mar 4, 2026" in said
    assert "75.0 now, 69.0 then, 69.0 at best; at most 0.0% from the best" in said
    assert "ended by proved" in said
    assert "To follow: 1 turns on the benches; then 0.0 h late, 69.0 h to the finishes" in said
    assert written() == before
    assert not Replan.objects.exists()


def test_nobody_becomes_late_for_another(long_and_short):
    """Promised for Thursday, when the line's order has it done: the short one stays behind it."""
    Build.objects.filter(number="B-1002").update(promised_from=date(2026, 3, 5), promised_to=date(2026, 3, 5))
    said = run("--seconds", "20", "--keep")
    assert "75.0 now, 75.0 then, 75.0 at best; at most 0.0% from the best" in said
    assert "no plan is better than the one there is: lateness and finishes are at the bound" in said
    assert "Nothing kept" in said
    assert not Replan.objects.exists()


def test_kept_it_waits_for_the_owner_who_sees_what_moves_and_follows_it(long_and_short, client_as):
    assert "Kept" in run("--seconds", "20", "--keep")
    row = Replan.objects.get()
    client = client_as("owner")
    address = reverse("replan", args=[row.public_id])
    assert address in text(client.get(reverse("bench-plan")))
    assert address not in text(client_as("builder").get(reverse("bench-plan")))
    before = written()
    page = client.get(address)
    moved = [(change.build.number, change.days_later) for change in page.context["found"].changes]
    assert moved == [("B-1002", 1), ("B-1003", -2)]
    assert written() == before
    assert client.post(address, {"reason": ""}).status_code == 422
    assert client.post(address, {"reason": REASON}).status_code == 302
    assert [plan.finish_from for plan in line_plan().builds] == [date(2026, 3, 3), date(2026, 3, 6), date(2026, 3, 4)]
    assert set(Event.objects.values_list("subject", "reason")) == {("B-1002", REASON), ("B-1003", REASON)}
    assert "The benches follow it since" in text(client.get(address))
    assert replan_waiting() is None


def test_a_build_no_order_can_help_is_named_with_what_it_waits_for(long_and_short, client_as):
    """Fifteen hours from Monday 9:00 end on Tuesday, whoever goes first; the other promise is none."""
    Build.objects.filter(number="B-1001").update(promised_from=date(2026, 3, 2), promised_to=date(2026, 3, 2))
    why = "B-1001 cannot be done before March 3, 1 day after its promise of March 2, whatever the order"
    said = run("--seconds", "20", "--keep")
    assert "These builds no order can help:\n- " + why in said
    assert why in text(client_as("owner").get(reverse("replan", args=[Replan.objects.get().public_id])))


def test_nobody_becomes_late_at_slow_hours_for_another(long_and_short):
    """Promised for Friday, B-1002 is kept behind the short one's six hours, but not behind its slow ones."""
    Build.objects.filter(number="B-1002").update(promised_from=date(2026, 3, 6), promised_to=date(2026, 3, 6))
    assert "To follow: 1 turns" in run("--seconds", "20")
    BuildStep.objects.filter(pk=long_and_short[1].pk).update(high_h=40)
    assert "To follow: nothing; no turns on the benches" in run("--seconds", "20")


def test_who_may_look_at_a_re_plan(long_and_short, client_as):
    run("--seconds", "20", "--keep")
    assert_guarded(client_as, "replan", Replan.objects.get().public_id, roles=OWNER_ONLY)


def test_a_re_plan_is_stale_once_the_plan_has_changed(long_and_short, boss, client_as):
    run("--seconds", "20", "--keep")
    row = Replan.objects.get()
    with line_lock():
        pass
    assert replan_waiting() is None
    assert "has changed 1 time since" in text(client_as("owner").get(reverse("replan", args=[row.public_id])))
    with pytest.raises(Refused, match="has changed since"):
        replan_follow(replan=row, reason=REASON, person=boss)
    assert not StepTurn.objects.exists()


def test_following_twice_is_following_once(long_and_short, boss):
    run("--seconds", "20", "--keep")
    for _ in range(2):
        replan_follow(replan=Replan.objects.get(), reason=REASON, person=boss)
    assert StepTurn.objects.count() == 1
    assert Event.objects.count() == 2


def test_a_turn_a_person_has_taken_is_not_turned_round(long_and_short, boss):
    """Fourth in line, twelve hours, and put before the short one for a reason: the best order would have it last."""
    _, short = long_and_short
    fourth = make_day_build(4).steps.get()
    BuildStep.objects.filter(pk=fourth.pk).update(low_h=12, likely_h=12, high_h=12)
    turn_take(first=fourth, then=short, revision=0, reason="Wedding", person=boss)
    assert "turns taken on the bench plan: 1, all kept" in run("--seconds", "20", "--keep")
    assert ["B-1003", "wiring", "B-1004", "wiring"] not in [turn for row in Replan.objects.all() for turn in row.turns]
    assert StepTurn.objects.get().first == fourth


def test_the_clock_re_plans_when_it_is_asked_to(long_and_short):
    assert "re-plan" not in run(command="tick")
    assert "re-plan: a better order kept for the owner, 1 turn" in run("--replan-seconds", "10", command="tick")
    assert Replan.objects.count() == 1


@pytest.mark.parametrize("wrong", ["0", "-1", "nan", "soon", "99999"])
def test_seconds_that_cannot_be_read_are_refused(wrong: str, shop):
    with pytest.raises(CommandError, match="not a number of seconds"):
        run("--seconds", wrong)


def test_without_opening_hours_it_says_what_to_do(shop, morning):
    make_day_build()
    OpeningHours.objects.all().delete()
    with pytest.raises(CommandError):
        run("--seconds", "5")


def test_an_empty_line_is_told(shop, morning):
    assert "No open build has a date to plan." in run("--seconds", "5")
