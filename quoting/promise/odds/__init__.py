"""How sure a day is: the shop's own way of working played through many times.

`simulate_behind` makes the timelines a web request only reads; `odds_behind` puts one more build into them in
milliseconds; `simulate_line` gives the odds of every open build; `simulate_shop` both at once. All are seeded; the
same input gives the same days.
"""

from __future__ import annotations

from quoting.promise.odds.behind import odds_behind, odds_of_outlook
from quoting.promise.odds.dice import Dice
from quoting.promise.odds.engine import PLAIN, Engine, engine
from quoting.promise.odds.kept import KeptError, from_bytes, to_bytes
from quoting.promise.odds.line import simulate_line, simulate_shop
from quoting.promise.odds.timelines import Timelines, simulate_behind
from quoting.promise.odds.warm import samples_for, warm_up

__all__ = [
    "PLAIN",
    "Dice",
    "Engine",
    "KeptError",
    "Timelines",
    "engine",
    "from_bytes",
    "odds_behind",
    "odds_of_outlook",
    "samples_for",
    "simulate_behind",
    "simulate_line",
    "simulate_shop",
    "to_bytes",
    "warm_up",
]
