"""The one lock of the line, so that places and reservations never race."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import transaction

from shop.models import LineLock
from shop.tasks import plan_changed


@contextmanager
def line_lock() -> Iterator[LineLock]:
    """A transaction that holds the line.

    Taken by whatever accepts, moves, cancels, receives or hands over. The row comes with its new revision: what is
    worked out inside belongs to that revision. SQLite needs no row lock, its transactions begin with the write lock.
    Once it is committed the worker is asked for new odds; trouble with the queue undoes nothing.
    """
    with transaction.atomic():
        lock = LineLock.objects.select_for_update().filter(pk=1).first()
        if lock is None:
            LineLock.objects.get_or_create(pk=1)
            lock = LineLock.objects.select_for_update().get(pk=1)
        lock.revision += 1
        lock.save(update_fields=["revision"])
        transaction.on_commit(plan_changed, robust=True)
        yield lock
