"""What the clock does at night. Each job is one transaction, finds nothing to do the second time, and may run twice at
once: what one run has changed, the other no longer finds.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from django.db import transaction
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

# The states of the task queue's rows, as the queue itself spells them.
READY, RUNNING, FAILED = "READY", "RUNNING", "FAILED"
# Our own choice: a task that took its worker down this often is given up, or it would do so every night.
MOST_STARTS = 3
GIVEN_UP = "The worker was ended {starts} times while it ran this task. It is not tried again."


@dataclass(frozen=True)
class TasksFreed:
    """Tasks a killed worker left behind: made ready again, and given up after too many starts."""

    ready: int
    given_up: int


@transaction.atomic
def tasks_ready_again(*, after: timedelta) -> TasksFreed:
    """Tasks that have been running for longer than `after` belong to a worker that is gone: let another do them.

    The queue itself leaves them running for ever. Tasks are safe to repeat, so one that was slow and not dead does no
    harm. Rows another run holds are left to it.
    """
    began = timezone.now() - after
    rows = list(
        DBTaskResult.objects.select_for_update(skip_locked=True)
        .filter(status=RUNNING, started_at__lt=began)
        .order_by("started_at", "pk")
    )
    lost = [row for row in rows if len(row.worker_ids) >= MOST_STARTS]
    for row in lost:
        row.status, row.finished_at = FAILED, timezone.now()
        row.traceback = GIVEN_UP.format(starts=len(row.worker_ids))
        row.save(update_fields=["status", "finished_at", "traceback"])
    again = [row.pk for row in rows if row not in lost]
    ready = DBTaskResult.objects.filter(pk__in=again, status=RUNNING).update(status=READY, started_at=None)
    return TasksFreed(ready=ready, given_up=len(lost))


@transaction.atomic
def tasks_prune(*, after: timedelta) -> int:
    """Forget tasks that ended longer than `after` ago, well or not. Returns how many."""
    return DBTaskResult.objects.finished().filter(finished_at__lt=timezone.now() - after).delete()[0]
