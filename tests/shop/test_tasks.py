"""The worker is asked for odds after each change of the plan: once, and never so that the change suffers."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

import pytest
from django.core.management import call_command
from django.db import transaction
from django_tasks import task_backends
from django_tasks_db import DatabaseBackend
from django_tasks_db.models import DBTaskResult

from shop import tasks
from shop.management.commands import db_worker
from shop.models import LineLock, PlanOdds
from shop.services.clock import tasks_ready_again
from shop.services.line_lock import line_lock
from shop.tasks import ask_for_odds
from tests.shop.made_builds import make_day_build
from tests.shop.made_shop import make_whole_shop


@pytest.fixture
def queue(settings) -> Iterator[None]:
    """Tasks go into the database, as in a shop."""
    before = task_backends["default"]
    task_backends["default"] = DatabaseBackend("default", {})  # type: ignore[assignment]
    settings.DRAW_ODDS = True
    yield
    task_backends["default"] = before


def waiting() -> int:
    return DBTaskResult.objects.ready().filter(task_path="shop.tasks.draw_odds").count()


def work() -> None:
    """All that is queued, by a worker that then ends."""
    call_command("db_worker", batch=True, startup_delay=False, interval=0, verbosity=0, reload=False)


@pytest.fixture
def no_compiler(monkeypatch) -> list[object]:
    """What the worker would call when its fast loops are there; it does not load them."""
    asked: list[object] = []
    monkeypatch.setattr(db_worker, "warm_in_background", lambda then: asked.append(then))
    return asked


@pytest.mark.django_db(transaction=True)
def test_a_change_asks_when_it_is_committed_and_not_before(queue):
    with transaction.atomic():
        with line_lock():
            pass
        assert waiting() == 0
    assert waiting() == 1


@pytest.mark.django_db(transaction=True)
def test_a_change_that_is_undone_asks_for_nothing(queue):
    with pytest.raises(ZeroDivisionError), line_lock():
        raise ZeroDivisionError
    assert waiting() == 0


@pytest.mark.django_db(transaction=True)
def test_many_changes_wait_as_one_task(queue):
    for _ in range(5):
        with line_lock(), line_lock():
            pass
    assert (waiting(), LineLock.objects.get().revision) == (1, 10)


@pytest.mark.django_db(transaction=True)
def test_one_that_is_running_has_read_an_older_plan_so_another_is_queued(queue):
    ask_for_odds()
    DBTaskResult.objects.update(status="RUNNING")
    with line_lock():
        pass
    assert waiting() == 1


@pytest.mark.django_db(transaction=True)
def test_trouble_with_the_queue_does_not_undo_the_change(queue, monkeypatch, caplog):
    def broken() -> bool:
        raise RuntimeError("the queue is gone")

    monkeypatch.setattr(tasks, "ask_for_odds", broken)
    with line_lock():
        pass
    assert LineLock.objects.get().revision == 1
    assert "the queue is gone" in caplog.text


@pytest.mark.django_db(transaction=True)
def test_the_worker_draws_odds_when_it_starts_and_after_each_change(queue, no_compiler, morning):
    make_whole_shop()
    make_day_build()
    work()  # nobody asked: it sees itself that there are none
    assert PlanOdds.objects.get().revision == 0
    assert no_compiler == [ask_for_odds]
    with line_lock():
        pass
    work()
    assert PlanOdds.objects.get().revision == 1
    assert waiting() == 0
    said = DBTaskResult.objects.order_by("-finished_at").values_list("return_value", flat=True)
    assert "kept for revision 1, 40 runs" in said


@pytest.mark.django_db(transaction=True)
def test_a_killed_task_leaves_nothing_and_is_done_again(queue, no_compiler, morning, set_clock):
    """The worker was ended while it drew: the task reads RUNNING for ever, nothing was kept, and nothing waits for it.
    The night's tick makes it ready again."""
    make_whole_shop()
    make_day_build()
    ask_for_odds()
    DBTaskResult.objects.update(status="RUNNING", started_at=morning, worker_ids=["gone"])
    assert not PlanOdds.objects.exists()
    set_clock(morning + timedelta(hours=2))
    assert tasks_ready_again(after=timedelta(hours=1)).ready == 1
    work()
    assert PlanOdds.objects.count() == 1


@pytest.mark.django_db
def test_the_night_asks_for_the_new_day(queue, shop, morning, capsys):
    call_command("tick")
    assert "odds: the worker is asked for new ones" in capsys.readouterr().out
    call_command("tick")
    assert "odds: the worker is asked already" in capsys.readouterr().out
    assert waiting() == 1
