from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from io import StringIO
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.core.management import CommandError, call_command
from django_tasks_db.models import DBTaskResult

from shop.models import Event, VersionState
from shop.services.clock import MOST_STARTS, tasks_prune, tasks_ready_again
from tests.shop.made_day import Day, make_day
from tests.shop.made_shop import make_whole_shop
from tests.shop.queries import queries_of

HOUR = timedelta(hours=1)


@pytest.fixture
def day(shop, morning, person) -> Day:
    return make_day(shop, person("owner"))


def make_task(started: datetime, *, starts: int = 1, **changed: Any) -> Any:
    """A task a worker took up at that moment."""
    values: dict[str, Any] = {
        "status": "RUNNING",
        "args_kwargs": {"args": [], "kwargs": {}},
        "task_path": "example.task",
        "backend_name": "default",
        "run_after": started,
        "started_at": started,
        "worker_ids": [f"worker-{number}" for number in range(starts)],
        "exception_class_path": "",
        "traceback": "",
        **changed,
    }
    return DBTaskResult.objects.create(**values)


def tick(*options: str) -> str:
    out = StringIO()
    call_command("tick", *options, stdout=out)
    return out.getvalue()


def at(last: date | None, **after: int) -> datetime:
    """Noon in New York (17:00 UTC in winter, 16:00 in summer) on a day, or so much later."""
    assert last is not None
    return datetime.combine(last, time(12), tzinfo=ZoneInfo("America/New_York")).astimezone(UTC) + timedelta(**after)


def test_an_offer_lapses_the_day_after_its_last_and_once(day: Day, set_clock):
    last = day.offered.valid_until
    set_clock(at(last))
    assert "0 offers lapsed" in tick()  # the last day still counts
    set_clock(at(last, days=1))
    assert "1 offer lapsed" in tick()
    assert "0 offers lapsed" in tick()
    day.offered.refresh_from_db()
    assert day.offered.state == VersionState.LAPSED
    assert Event.objects.filter(verb="version lapsed", person=None).count() == 1


def test_it_is_the_shops_day_that_counts(day: Day, set_clock):
    """Nine in the evening in New York is the next day in UTC: an offer good until today still stands."""
    set_clock(at(day.offered.valid_until, hours=9))
    assert "0 offers lapsed" in tick()


def test_a_task_its_worker_left_is_ready_again_and_a_running_one_is_left_alone(shop, morning):
    dead, alive = make_task(morning - HOUR - timedelta(minutes=1)), make_task(morning - timedelta(minutes=59))
    assert "1 of a killed worker ready again, 0 given up" in tick()
    dead.refresh_from_db()
    alive.refresh_from_db()
    assert (dead.status, dead.started_at, alive.status) == ("READY", None, "RUNNING")
    assert dead in DBTaskResult.objects.ready()
    assert "0 of a killed worker ready again" in tick()
    assert "1 of a killed worker ready again" in tick("--stuck-minutes", "30")


def test_a_task_that_ends_its_worker_every_time_is_given_up(shop, morning):
    task = make_task(morning - 2 * HOUR, starts=MOST_STARTS)
    assert "0 of a killed worker ready again, 1 given up" in tick()
    task.refresh_from_db()
    assert (task.status, task.finished_at) == ("FAILED", morning)
    assert "not tried again" in task.traceback


def test_ended_tasks_are_forgotten_after_two_weeks_and_waiting_ones_never(shop, morning):
    ended: dict[str, Any] = {"status": "SUCCESSFUL", "worker_ids": []}
    make_task(morning, **ended, finished_at=morning - timedelta(days=14, minutes=1))
    make_task(morning, status="FAILED", finished_at=morning - timedelta(days=15))
    kept = make_task(morning, **ended, finished_at=morning - timedelta(days=13))
    waiting = make_task(morning - timedelta(days=90), status="READY", started_at=None)
    assert "2 ended ones forgotten" in tick()
    assert set(DBTaskResult.objects.all()) == {kept, waiting}
    assert tasks_prune(after=timedelta(days=12)) == 1


@pytest.mark.parametrize("option", ["--stuck-minutes", "--keep-days"])
@pytest.mark.parametrize("value", ["0", "-3", "soon", "1.5"])
def test_a_number_that_is_none_is_refused_before_anything_is_done(option: str, value: str, shop, morning):
    make_task(morning - 2 * HOUR)
    with pytest.raises(CommandError, match="whole number of at least 1"):
        call_command("tick", f"{option}={value}")
    assert DBTaskResult.objects.get().status == "RUNNING"


def test_one_jobs_trouble_does_not_keep_the_others_from_being_done(shop, morning, monkeypatch):
    def broken(_: date) -> int:
        raise RuntimeError("no such table")

    monkeypatch.setattr("shop.management.commands.tick.versions_lapse", broken)
    make_task(morning - 2 * HOUR)
    out = StringIO()
    with pytest.raises(CommandError, match="quotes: RuntimeError: no such table"):
        call_command("tick", stdout=out)
    assert "1 of a killed worker ready again" in out.getvalue()
    assert DBTaskResult.objects.get().status == "READY"


def test_queries_stay_flat_from_one_stuck_task_to_fifty(shop, morning):
    make_task(morning - 2 * HOUR)
    one = queries_of(lambda: tasks_ready_again(after=HOUR))
    for _ in range(50):
        make_task(morning - 2 * HOUR)
    assert queries_of(lambda: tasks_ready_again(after=HOUR)) == one


def test_two_runs_at_once_do_each_thing_once(threads, morning, person, set_clock):
    day = make_day(make_whole_shop(), person("owner"))
    for _ in range(5):
        make_task(morning - 2 * HOUR)
    set_clock(at(day.offered.valid_until, days=1))
    clocks = threads()
    both = clocks.run([tick, tick])
    assert sorted("1 offer lapsed" in said for said in both) == [False, True]

    def look() -> tuple[int, int]:
        lapsed = Event.objects.filter(verb="version lapsed").count()
        return lapsed, DBTaskResult.objects.filter(status="READY").count()

    assert clocks.look(look) == (1, 5)
