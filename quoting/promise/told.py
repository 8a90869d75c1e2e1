"""The window a customer is told: from simulated runs where they are at hand, else the plan's two paces."""

from __future__ import annotations

from collections.abc import Hashable, MutableMapping
from dataclasses import dataclass, field, replace
from datetime import date

from quoting.promise.answer import outlook_of
from quoting.promise.odds import Timelines, odds_of_outlook
from quoting.promise.plan import PlannedShop
from quoting.promise.supply import Peg
from quoting.request import Option
from quoting.result import Odds, Promise

FROM_LEVEL, TO_LEVEL = 50.0, 80.0  # done by the first day in half of the runs, by the last in four of five (our own)
NAMED_SHARE = 0.2  # a second cause is named from one run in five on (our own choice)
MOST_KNOWN = 200  # answers kept beside timelines: some options of some quotes at a time (our own choice)


@dataclass(frozen=True)
class Simulated:
    """Kept timelines, and the levels [%] whose days are told: 50 and 80 until finished builds say otherwise.

    `known` answers already worked out from these timelines; hand the same mapping on with them.
    """

    timelines: Timelines
    from_level: float = FROM_LEVEL
    to_level: float = TO_LEVEL
    known: MutableMapping[Hashable, Odds | None] = field(default_factory=dict, compare=False, repr=False)

    def odds(self, planned: PlannedShop, option: Option) -> Odds | None:
        """The odds of an option last in line. What does not touch the plan, a price, is answered from what is known."""
        outlook = outlook_of(planned, option, holds=False)
        pegs = tuple(map(_peg_key, outlook.pegs))
        asked = (outlook.build, pegs, outlook.stops, planned.bearings.now, planned.shop.revision)
        if asked not in self.known:
            if len(self.known) >= MOST_KNOWN:
                self.known.clear()
            self.known[asked] = odds_of_outlook(self.timelines, planned, outlook)
        return self.known[asked]


def _peg_key(peg: Peg) -> Hashable:
    """All that decides when a peg's units come; a supplier's closed days belong to the revision."""
    lead, coming = peg.lead, peg.incoming
    return (
        (peg.need, peg.step, peg.quantity, peg.origin, peg.arrives, peg.ready, peg.slow_ready, peg.ahead, peg.unknown),
        lead and (lead.supplier, lead.likely_days, lead.slow_days),
        coming and (coming.row, coming.receipt, coming.arrives, coming.slow_arrives, coming.late_days),
    )


def told_promise(planned: PlannedShop, option: Option, promise: Promise, simulated: Simulated | None) -> Promise:
    """A promise of `insert` with the window of the simulated runs; as it is where they have no day for it.

    Runs that are stale miss the last change: then neither day is told earlier than the plan's own, which is fresh.
    """
    if simulated is None or promise.finish_from is None or promise.finish_to is None:
        return promise
    odds = simulated.odds(planned, option)
    if odds is None:
        return promise
    odds = _aged(odds, simulated.timelines.first, planned.bearings.calendar.first)
    first, last = odds.day_at(simulated.from_level), odds.day_at(simulated.to_level)
    if odds.stale:
        first, last = max(first, promise.finish_from), max(last, promise.finish_to)
    return from_runs(promise, simulated, odds, (first, last))


def from_runs(promise: Promise, simulated: Simulated, odds: Odds, window: tuple[date, date]) -> Promise:
    """A promise of the plan with a window of simulated runs in its place; the plan's own days stay beside it."""
    return replace(
        promise,
        finish_from=window[0],
        finish_to=window[1],
        odds=odds,
        levels=(simulated.from_level, simulated.to_level),
        planned_from=promise.finish_from,
        planned_to=promise.finish_to,
        planned_headline=promise.headline,
        headline=causes_text(odds) or promise.headline,
        method=odds.note,
    )


def _aged(odds: Odds, drawn: date, today: date) -> Odds:
    """Marked stale when the runs begin on an earlier day than today."""
    if drawn >= today or odds.stale:
        return odds
    return replace(odds, stale=True, note=f"{odds.note} They begin on {drawn}; newer ones are being drawn.")


def causes_text(odds: Odds, most: int = 2) -> str:
    """ "In 8 of 10 simulated runs the motor decides; in 2 of 10 simulated runs its own hours decide." `most` causes."""
    said = [each.text for at, each in enumerate(odds.deciders) if at == 0 or each.share >= NAMED_SHARE]
    text = "; ".join(said[:most])
    return f"{text[0].upper()}{text[1:]}." if text else ""
