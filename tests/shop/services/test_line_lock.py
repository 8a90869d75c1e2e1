from __future__ import annotations

import threading
import time
from collections.abc import Callable

import pytest

from shop.models import LineLock
from shop.services.line_lock import line_lock
from tests.shop.threads import Threads


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


def test_one_waits_until_the_other_lets_go(threads: Callable[[], Threads]) -> None:
    inside, order = threading.Event(), []

    def first() -> None:
        with line_lock():
            inside.set()
            time.sleep(0.3)
            order.append("first")

    def second() -> None:
        inside.wait(10)
        with line_lock():
            order.append("second")

    at_once = threads()
    assert at_once.run([first, second]) == [None, None]
    assert order == ["first", "second"]
    assert at_once.look(lambda: LineLock.objects.get().revision) == 2
