"""What the finder answers: sets worked out in full by quote(), and what each single wish costs where none meets all."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from quoting.finder.wished import Miss
from quoting.request import Option
from quoting.result import OptionResult


@dataclass(frozen=True, kw_only=True)
class Counts:
    """How the search went, in sets [-].

    `raw` every combination; `judged` those that reached the rules as whole sets after the pairwise tables; `looked` the
    sets worked out by the engine; `stopped` those of them that the complete rules refuse; `unknown` those whose range,
    speed or price cannot be worked out; `dropped` sets of the answer that quote() stopped at the last, always said.
    """

    raw: int
    judged: int
    looked: int = 0
    stopped: int = 0
    unknown: int = 0
    dropped: int = 0


@dataclass(frozen=True, kw_only=True)
class BuildSet:
    """One set. `option` the frame filled with its parts and pack plan; `result` what quote() says of it.

    `codes` component code of every chosen slot in the question's order, "" where it stays empty; `store` code of the
    cells or modules. `worst_km` least likely range of the profiles [km], `held_kmh` [km/h], `weight_kg` converted and
    empty [kg], `finish` last day of the window. `misses` the wishes it does not meet.
    """

    option: Option
    result: OptionResult
    codes: tuple[str, ...]
    store: str
    series: int
    parallel: int
    worst_km: float
    held_kmh: float
    weight_kg: float
    finish: date | None
    misses: tuple[Miss, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Relaxation:
    """What giving way on one wish opens up, all other wishes met.

    `cheapest` the cheapest set, `best` the set that comes nearest to the wish; both None: giving way on this wish alone
    does not help. `value` and `best_value` what they reach, in the wish's unit.
    """

    wish: str
    cheapest: BuildSet | None = None
    best: BuildSet | None = None


@dataclass(frozen=True, kw_only=True)
class FinderResult:
    """The answer.

    `sets` the front, cheapest first, of sets that meet every wish: none of them is at least as good as another in
    price, worst-profile range, held speed, weight and finish. `more` True: the front goes on past the number asked
    for. `relaxations` one per wish when nothing meets all; `nearest` then the front without regard to wishes, when
    giving way on one wish does not help either. `left_out` component code and why it was not considered. `beside` ids
    of stops that no choice of parts changes. `why_none` rule ids with the number of times each refused a combination,
    most first, when nothing at all is buildable.
    """

    sets: tuple[BuildSet, ...]
    more: bool
    counts: Counts
    relaxations: tuple[Relaxation, ...] = ()
    nearest: tuple[BuildSet, ...] = ()
    left_out: tuple[tuple[str, str], ...] = ()
    beside: tuple[str, ...] = ()
    why_none: tuple[tuple[str, int], ...] = ()
