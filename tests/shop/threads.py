"""Several tills at once, on the database a shop would have: PostgreSQL as it is, SQLite as a file with its write lock.

SQLite's test database lives in memory, where threads share one lock on everything; so it is copied into a file, and
threads are given that. What they wrote is seen with `look`, which runs in a thread too.
"""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Callable, Sequence
from contextlib import closing
from pathlib import Path
from typing import Any

from django.db import connection, connections
from django.db.backends.sqlite3.base import DatabaseWrapper


class Threads:
    """Runs functions at the same moment, each with a connection of its own."""

    def __init__(self, folder: Path) -> None:
        self.file: Path | None = None
        if connection.vendor == "sqlite":
            self.file = folder / "shop.sqlite3"
            with connection.cursor() as cursor:
                cursor.execute("VACUUM INTO %s", [str(self.file)])
            with closing(sqlite3.connect(self.file)) as file:  # or all threads would switch at once, and one be refused
                file.execute("PRAGMA journal_mode=WAL")

    def run(self, functions: Sequence[Callable[[], Any]], *, limit_s: float = 60) -> list[Any]:
        """What each gave back, or the exception it raised, in order. None may take longer than `limit_s` seconds."""
        answers: list[Any] = [None] * len(functions)
        gate = threading.Barrier(len(functions))

        def work(index: int, function: Callable[[], Any]) -> None:
            try:
                if self.file is not None:  # this thread's own; the others keep theirs
                    settings = {**connections.settings["default"], "NAME": str(self.file)}
                    connections["default"] = DatabaseWrapper(settings, "default")
                gate.wait(20)
                answers[index] = function()
            except Exception as error:
                answers[index] = error
            finally:
                connection.close()

        threads = [threading.Thread(target=work, args=pair) for pair in enumerate(functions)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(limit_s)
        assert not any(thread.is_alive() for thread in threads)
        return answers

    def look(self, function: Callable[[], Any]) -> Any:
        """What a function sees in the threads' database."""
        (answer,) = self.run([function])
        if isinstance(answer, Exception):
            raise answer
        return answer
