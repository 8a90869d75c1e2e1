"""Drawing the odds of finish days and keeping them: the worker's work, never a request's."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date, datetime

from django.db import transaction

from quoting import to_json
from quoting.errors import CalendarError
from quoting.odds import (
    Dice,
    corrected_level,
    engine,
    hit_rates,
    samples_for,
    simulate_behind,
    simulate_shop,
    to_bytes,
)
from quoting.promise import prepare_shop
from shop.models import LineLock, PlanOdds
from shop.selectors.odds_basis import OddsBasis, hours_error, odds_basis, promises_come_due

SEED = 1  # the same futures at every revision, so that a window moves because the plan did
FEW_SAMPLES = 40  # for web processes whose loops are plain: some 10 ms for one more build (measured)
FROM_LEVEL, TO_LEVEL = 50, 80  # [%] the customer is told both days
Rank = tuple[int, date, int, datetime]


def odds_draw(*, line: bool = True) -> PlanOdds | None:
    """Draw the odds of the plan as it stands, and keep them.

    Safe to repeat and to run twice at once. None when they are kept already, when newer ones were kept meanwhile, or
    when the shop is never open. `line` False leaves out the odds of the builds in line, which halves the time: enough
    for one more build. They are drawn when next asked for.
    """
    basis = odds_basis()
    samples = samples_for(engine())
    kept = PlanOdds.objects.filter(revision=basis.state.revision, day=basis.now.date(), samples__gte=samples)
    if line and basis.state.builds:
        kept = kept.exclude(line={})
    if kept.exists():
        return None
    row = _drawn(basis, samples, line)
    return row if row is not None and _keep(row) else None


def _drawn(basis: OddsBasis, samples: int, with_line: bool) -> PlanOdds | None:
    try:
        planned = prepare_shop(basis.state, basis.now, basis.now.date(), basis.policies)
    except CalendarError:
        return None
    center, spread = hours_error()
    dice = Dice(samples, SEED, center, spread)
    compiled = engine().compiled
    named = basis.skills, basis.bench_types
    timelines, line = (
        simulate_shop(planned, dice, *named) if with_line else (simulate_behind(planned, dice, *named), {})
    )
    few = Dice(FEW_SAMPLES, SEED, center, spread)
    log = promises_come_due()
    return PlanOdds(
        revision=basis.state.revision,
        day=basis.now.date(),
        read_at=basis.now,
        samples=samples,
        seed=SEED,
        compiled=compiled,
        hours_center=center,
        hours_spread=spread,
        from_level=corrected_level(log, FROM_LEVEL),
        to_level=corrected_level(log, TO_LEVEL),
        rates=[asdict(rate) for rate in hit_rates(log)],
        line={number: to_json(odds) for number, odds in line.items()},
        timelines=to_bytes(timelines),
        few_timelines=(to_bytes(simulate_behind(planned, few, *named)) if compiled else b""),
    )


@transaction.atomic
def _keep(row: PlanOdds) -> bool:
    """Put a row in the place of all older ones, in one transaction; False when what is kept is newer.

    The line's lock puts two workers one after the other. It is not a change of the plan: its number stays.
    """
    LineLock.objects.get_or_create(pk=1)
    lock = LineLock.objects.select_for_update().get(pk=1)
    PlanOdds.objects.filter(revision__gt=lock.revision).delete()  # of another history: a backup was restored
    newest = PlanOdds.objects.order_by("-revision").values_list("revision", "day", "samples", "read_at").first()
    adds_line = bool(row.line) and PlanOdds.objects.filter(revision=row.revision, day=row.day, line={}).exists()
    if newest is not None and newest >= _rank(row) and not adds_line:
        return False
    PlanOdds.objects.all().delete()
    row.full_clean(exclude=["line", "timelines", "few_timelines"])
    row.save(force_insert=True)
    return True


def _rank(row: PlanOdds) -> Rank:
    """Newer plan, then newer day, then more runs, then read later."""
    return (row.revision, row.day, row.samples, row.read_at)
