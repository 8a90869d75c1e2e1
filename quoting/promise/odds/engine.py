"""The inner loops, compiled where numba is installed and warm, the same functions as they stand where not.

Loading numba takes a second and the first compilation half a minute; later starts read the compiled code from the
cache beside the file. So nothing here loads it until `warm_up` is called: by a worker when it starts, by a web process
in a thread of its own, never in a request. Until then, and where numba is missing, the plain functions answer with
fewer samples.
"""

from __future__ import annotations

import hashlib
import importlib
import os
from collections.abc import Callable, Collection, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, fields
from threading import Lock
from types import FunctionType
from typing import Any

from quoting.promise.odds import gaps, laying, morning, plans, running, working

LAYING = (
    "first_after", "day_of", "back_from_outside", "over_leave", "earliest", "best", "book", "clear", "new_lanes",
    "worked_through", "lay_build",
)  # fmt: skip
PLANS = ("carry_on", "keep_frozen", "lay_line", "foresee_samples")
GAPS = ("pack_samples", "room_for", "unpack", "no_bench_at", "insert_row", "insert_samples", "bench_waits")
MORNING = ("in_any", "look_round", "queue_up", "notice", "expect_rest", "plan_morning")
WORKING = ("pass_through", "take_up", "start_next", "work_day", "soonest")
RUNNING = (
    "new_state", "new_plan", "begin", "remember", "run_days", "finish_of", "worked_until", "run_samples", "run_pairs",
)  # fmt: skip
WITH_ARRAYS = {
    "new_lanes", "lay_line", "foresee_samples", "pack_samples", "room_for", "insert_samples", "bench_waits",
    "new_state", "new_plan", "run_samples", "run_pairs",
}  # fmt: skip
FUNCTIONS: dict[str, FunctionType] = {
    **{name: getattr(laying, name) for name in LAYING},
    **{name: getattr(plans, name) for name in PLANS},
    **{name: getattr(gaps, name) for name in GAPS},
    **{name: getattr(morning, name) for name in MORNING},
    **{name: getattr(working, name) for name in WORKING},
    **{name: getattr(running, name) for name in RUNNING},
}  # in such an order that each comes after those it calls


@dataclass(frozen=True)
class Engine:
    """The loops the rest of the package calls. `name` plain or compiled."""

    name: str
    run_samples: Callable[..., None]
    run_pairs: Callable[..., None]
    foresee_samples: Callable[..., None]
    pack_samples: Callable[..., int]
    insert_samples: Callable[..., None]
    bench_waits: Callable[..., None]
    lay_line: Callable[..., None]
    new_lanes: Callable[..., Any]

    @property
    def compiled(self) -> bool:
        """Whether the loops are compiled."""
        return self.name == "compiled"

    def in_parts(self, samples: int, work: Callable[[int, int], object]) -> None:
        """Do `work(low, high)` for parts of the samples side by side; a part's result does not depend on the cut."""
        parts = min(os.cpu_count() or 1, samples) if self.compiled else 1
        cuts = [samples * part // parts for part in range(parts + 1)]
        if parts == 1:
            work(0, samples)
            return
        with ThreadPoolExecutor(parts) as pool:
            list(pool.map(work, cuts[:-1], cuts[1:]))


def _engine(name: str, functions: Mapping[str, Callable[..., Any]]) -> Engine:
    return Engine(name, *(functions[each.name] for each in fields(Engine)[1:]))


PLAIN = _engine("plain", FUNCTIONS)
_lock = Lock()
_warm: list[Engine] = []


def engine() -> Engine:
    """The compiled loops once `warm_up` has run, the plain ones until then."""
    return _warm[0] if _warm else PLAIN


def load_compiled() -> Engine | None:
    """The loops ready to be compiled, or None where numba is missing or cannot serve this machine."""
    scope = compiled(FUNCTIONS, FUNCTIONS.keys() - WITH_ARRAYS)
    return _engine("compiled", scope) if scope else None


def compiled(
    functions: Mapping[str, FunctionType], without_arrays: Collection[str] = ()
) -> dict[str, Callable[..., Any]] | None:
    """Twins of plain functions that numba compiles when they are first called, or None without numba.

    Parameters: `functions` by name, each after those it calls; `without_arrays` those that make no arrays: they are
    compiled without counting who refers to what, which in the innermost loops costs more than the work does.
    """
    try:
        numba = importlib.import_module("numba")
    except (ImportError, OSError):
        return None
    scope: dict[str, Any] = {}
    digest = _digest(functions)
    for name, plain in functions.items():
        twin = FunctionType(plain.__code__, {**plain.__globals__, **scope}, name, plain.__defaults__)
        twin.__module__, twin.__qualname__ = plain.__module__, f"{name}_{digest}"
        counted = {"_nrt": False} if name in without_arrays else {}
        try:
            scope[name] = numba.njit(cache=True, nogil=True, **counted)(twin)
        except RuntimeError:  # no folder to keep compiled code in: compile at every start
            scope[name] = numba.njit(nogil=True, **counted)(twin)
    return scope


def _digest(functions: Mapping[str, FunctionType]) -> str:
    """Of all the loops' code: compiled code is kept by name, and a loop must not outlive a change in one it calls."""
    code = [(name, each.__code__.co_code, each.__code__.co_consts) for name, each in functions.items()]
    return hashlib.sha256(repr(code).encode()).hexdigest()[:12]


def use(loops: Engine) -> None:
    """Answer with these loops from now on."""
    with _lock:
        _warm[:] = [loops]
