"""Requests one after the other, where all threads share one connection.

In memory SQLite is one connection for the test and the live server's threads: two requests at once would stand in one
transaction, which no shop's file and no PostgreSQL ever lets happen. Tests with a file of their own are left alone.
"""

from __future__ import annotations

from collections.abc import Callable
from threading import RLock

from django.db import connection
from django.http import HttpRequest, HttpResponse

_lock = RLock()


def one_at_a_time(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    def answer(request: HttpRequest) -> HttpResponse:
        if connection.vendor == "sqlite" and connection.is_in_memory_db():  # type: ignore[attr-defined]
            with _lock:
                return get_response(request)
        return get_response(request)

    return answer
