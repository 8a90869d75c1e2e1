"""The door to `quoting.promise.odds`: how sure a day is. It loads numpy, and numba only when `warm_up` is called."""

from __future__ import annotations

from quoting.promise.changes import Change, changed_shop
from quoting.promise.levels import Kept, LevelRate, bias_from, corrected_level, hit_rates
from quoting.promise.odds import (
    Dice,
    KeptError,
    Timelines,
    engine,
    from_bytes,
    odds_behind,
    samples_for,
    simulate_behind,
    simulate_line,
    simulate_shop,
    to_bytes,
    warm_up,
)
from quoting.promise.told import Simulated, causes_text, told_promise
from quoting.promise.told_standing import told_standing
from quoting.promise.whatif import Shift, WhatIf, what_if

__all__ = [
    "Change",
    "Dice",
    "Kept",
    "KeptError",
    "LevelRate",
    "Shift",
    "Simulated",
    "Timelines",
    "WhatIf",
    "bias_from",
    "causes_text",
    "changed_shop",
    "corrected_level",
    "engine",
    "from_bytes",
    "hit_rates",
    "odds_behind",
    "samples_for",
    "simulate_behind",
    "simulate_line",
    "simulate_shop",
    "to_bytes",
    "told_promise",
    "told_standing",
    "warm_up",
    "what_if",
]
