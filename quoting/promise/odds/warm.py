"""Load and compile the fast loops: once per process, when it starts, never in a request."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from decimal import Decimal

from quoting.promise.odds.behind import odds_behind
from quoting.promise.odds.dice import Dice
from quoting.promise.odds.engine import Engine, load_compiled, use
from quoting.promise.odds.finishes import FEW_SAMPLES, USUAL_SAMPLES
from quoting.promise.odds.line import simulate_line
from quoting.promise.odds.replay import replay_line
from quoting.promise.odds.timelines import simulate_behind
from quoting.promise.plan import prepare_shop
from quoting.request import Bench, OpenBuild, Opening, OpenStep, Option, Person, Policies, ShopState, StepLine

SAMPLES = 2


def warm_up() -> bool:
    """Compile the loops, or read what was compiled before, and answer with them from now on.

    Returns: False where numba is missing; then the plain loops go on answering with fewer samples.
    """
    loops = load_compiled()
    if loops is None:
        return False
    _try_out(loops)
    use(loops)
    return True


def samples_for(loops: Engine) -> int:
    """How many runs a background simulation makes with these loops."""
    return USUAL_SAMPLES if loops.compiled else FEW_SAMPLES


def _try_out(loops: Engine) -> None:
    """Call every loop once, so that each is compiled for the types it will meet."""
    hour = Decimal(1)
    step = OpenStep(code="a", label="a", skill="a", bench_type="a", low_h=hour, likely_h=hour, high_h=2 * hour)
    shop = ShopState(
        zone="UTC",
        openings=(Opening(weekday=0, start=time(8), end=time(16)),),
        benches=(Bench(name="a", bench_type="a"),),
        people=(Person(name="a", skills=("a",)),),
        builds=(OpenBuild(number="1", place=1, steps=(step,)),),
    )
    line = StepLine(code="a", label="a", skill="a", bench_type="a", low_h=hour, likely_h=hour, high_h=2 * hour)
    day = date(2027, 3, 1)
    planned = prepare_shop(shop, datetime(2027, 3, 1, 8, tzinfo=UTC), day, Policies())
    dice = Dice(SAMPLES)
    timelines = simulate_behind(planned, dice, loops=loops)
    odds_behind(timelines, planned, Option(key="a", label="a", parts=(), steps=(line,)), loops)
    simulate_line(planned, dice, loops)
    replay_line(planned, dice, loops)
