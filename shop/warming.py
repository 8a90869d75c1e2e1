"""Loading and compiling the fast loops in a thread of its own: in a worker when it starts, in a web process when it
first meets runs they drew. A request never waits for it.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from threading import Lock, Thread

from django.db import connections

from quoting.odds import engine, warm_up

logger = logging.getLogger(__name__)
_lock = Lock()
_begun: list[Thread] = []


def warm_in_background(then: Callable[[], object] | None = None) -> None:
    """Begin once per process; `then` is called when the loops are there. Without numba nothing changes."""
    with _lock:
        if _begun or engine().compiled:
            return
        _begun.append(Thread(target=_warm, args=(then,), name="warm-up", daemon=True))
        _begun[0].start()


def _warm(then: Callable[[], object] | None) -> None:
    try:
        if warm_up() and then is not None:
            then()
    except Exception:
        logger.exception("The fast loops could not be loaded; the plain ones go on with fewer runs.")
    finally:
        connections.close_all()
