from __future__ import annotations

import threading

import pytest
from django.db import connection

from shop.models import LineLock
from shop.services.line_lock import line_lock


@pytest.mark.django_db
def test_each_hold_of_the_line_is_a_new_revision() -> None:
    with line_lock() as first:
        assert first.revision == 1
    with line_lock() as second:
        assert second.revision == 2
    assert LineLock.objects.get().revision == 2


@pytest.mark.django_db
def test_a_failure_inside_leaves_the_revision_as_it_was() -> None:
    with line_lock():
        pass
    with pytest.raises(ValueError, match="no"), line_lock():
        raise ValueError("no")
    assert LineLock.objects.get().revision == 1


@pytest.mark.django_db(transaction=True)
def test_one_waits_until_the_other_lets_go() -> None:
    if connection.vendor == "sqlite":
        pytest.skip("SQLite's test database is in memory and shared by threads; its write lock is the database's own")
    inside, order = threading.Event(), []

    def second() -> None:
        inside.wait(10)
        with line_lock():
            order.append("second")
        connection.close()

    thread = threading.Thread(target=second)
    thread.start()
    with line_lock():
        inside.set()
        thread.join(0.3)
        order.append("first")
    thread.join(10)
    assert order == ["first", "second"]
    assert LineLock.objects.get().revision == 2
