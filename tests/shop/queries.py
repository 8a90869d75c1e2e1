"""How many queries something takes."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.db import connection
from django.test.utils import CaptureQueriesContext


def queries_of(function: Callable[[], Any]) -> int:
    """The queries one call takes."""
    with CaptureQueriesContext(connection) as seen:
        function()
    return len(seen)
