"""The line: who is where, what holds them, what was promised and what is to be expected now."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from django.db.models import Prefetch, QuerySet

from quoting.odds import causes_text
from quoting.promise import moves_between
from quoting.request import OpenBuild, ShopState
from quoting.result import BuildPlan, LinePlan, Odds
from shop.models import CLOSED_STATES, Build, BuildState, BuildStep, PromiseEntry, StepState
from shop.selectors.odds import LineOdds, kept_words, line_odds
from shop.selectors.plan import line_plan, plan_basis, planned

TIGHT = 0.7  # a promise kept in fewer of the runs is looked at before it breaks (our own choice)


@dataclass(frozen=True, kw_only=True)
class LineRow:
    """One open build.

    `holds` what its next step waits for, in words; empty when nothing does. `doing` the steps under way, in words.
    `finish_from` and `finish_to` what is to be expected now: the window of the simulated runs when there are `odds`,
    else from likely to slow hours; both None when there is no date. `late_days` how far the day that half of the runs
    reach, or the slow finish without them, lies past the promise, 0 when that holds, None when either is not known.
    """

    build: Build
    holds: str = ""
    doing: str = ""
    finish_from: date | None = None
    finish_to: date | None = None
    late_days: int | None = None
    plan: BuildPlan | None = None
    odds: Odds | None = None

    @property
    def chance(self) -> float | None:
        """The share of runs that keep the promise [0..1]; None without odds or without a promise."""
        promised = self.build.promised_to
        return self.odds.chance_by(promised) if self.odds and promised else None

    @property
    def is_tight(self) -> bool:
        """The promise is kept in so few runs that someone should look at it, and is not late yet."""
        return not self.late_days and self.chance is not None and self.chance < TIGHT

    @property
    def chance_words(self) -> str:
        """ "kept in 7 of 10 runs"; empty without odds."""
        return "" if self.chance is None else kept_words(self.chance)

    @property
    def slack_days(self) -> int | None:
        """From the last day expected to the last day promised [calendar days]; negative past it."""
        promised = self.build.promised_to
        return (promised - self.finish_to).days if promised and self.finish_to else None

    @property
    def slack_words(self) -> str:
        """ "4 days to spare", "2 days over", "nothing to spare"; empty when either day is missing."""
        days = self.slack_days
        if days is None:
            return ""
        counted = f"{abs(days)} day{'' if abs(days) == 1 else 's'}"
        return "nothing to spare" if days == 0 else f"{counted} to spare" if days > 0 else f"{counted} over"

    @property
    def order_by(self) -> date | None:
        """By when to order the first of its parts that is on no order yet, so that the promise holds."""
        parts = self.plan.parts if self.plan else ()
        return min((part.order_by for part in parts if part.order_by), default=None)

    @property
    def decides(self) -> str:
        """ "In 7 of 10 runs the motor decides.", what most often does; empty without odds."""
        return causes_text(self.odds, most=1).replace("simulated run", "run") if self.odds else ""

    @property
    def promise_moved(self) -> tuple[PromiseEntry, PromiseEntry] | None:
        """The window promised before and the one promised now, with its reason; None while the first one stands."""
        windows: list[PromiseEntry] = self.build.windows  # type: ignore[attr-defined]
        return (windows[-2], windows[-1]) if len(windows) > 1 else None


@dataclass(frozen=True, kw_only=True)
class WindowChange:
    """What a change does to one build. `breaks` its promise held before and no longer does; `mends` the reverse.

    `simulated`: the line has runs; then the window before is theirs, as in LineRow, and the one after is moved by as
    much as the plan moves at likely and at slow hours. Else both are the plan's. `late_days` after the change, as in
    LineRow. Places differ only in the preview of a move.
    """

    build: Build
    place_before: int
    place_after: int
    from_before: date | None
    to_before: date | None
    from_after: date | None
    to_after: date | None
    late_days: int | None
    breaks: bool
    mends: bool
    simulated: bool = False

    @property
    def days_later(self) -> int | None:
        """How far the last day moves [calendar days]; negative when it comes earlier, None without a date."""
        if self.to_before is None or self.to_after is None:
            return None
        return (self.to_after - self.to_before).days


def line_rows(plan: LinePlan | None = None, odds: LineOdds | None = None) -> tuple[LineRow, ...]:
    """Every open build in order of its place. Pass `odds` on when the page says what they rest on."""
    plan = plan or line_plan()
    odds = odds or line_odds(plan.revision)
    plans = {build.number: build for build in plan.builds}
    return tuple(line_row(build, plans.get(build.number), odds) for build in open_builds())


def open_builds() -> QuerySet[Build]:
    """Open builds in order of place, as `builds_shown` loads them."""
    return builds_shown().exclude(state__in=CLOSED_STATES).order_by("place")


def builds_shown() -> QuerySet[Build]:
    """Builds with what a row names: customer, bike, steps under way, windows promised."""
    under_way = BuildStep.objects.filter(state=StepState.DOING).select_related("person", "bench").order_by("position")
    rows = Build.objects.select_related("customer", "donor__family")
    windows = Prefetch("promises", queryset=PromiseEntry.objects.order_by("at", "pk"), to_attr="windows")
    return rows.prefetch_related(Prefetch("steps", queryset=under_way, to_attr="under_way"), windows)


def line_row(build: Build, plan: BuildPlan | None, odds: LineOdds | None = None) -> LineRow:
    """A row of one build; give it as `builds_shown` loads it."""
    steps: list[BuildStep] = build.under_way  # type: ignore[attr-defined]
    row = LineRow(build=build, plan=plan, doing="; ".join(_doing(step) for step in steps))
    if build.state == BuildState.READY:
        return row
    if plan is None:
        return row
    row = replace(row, finish_from=plan.finish_from, finish_to=plan.finish_to, late_days=plan.late_days)
    window = odds.window(build.number) if odds else None
    if odds and window and plan.finish_from and not build.on_hold:
        late = max((window[0] - build.promised_to).days, 0) if build.promised_to else None
        row = replace(row, odds=odds.builds[build.number], finish_from=window[0], finish_to=window[1], late_days=late)
    if build.on_hold:
        return replace(row, holds=f"On hold: {build.hold_reason}")
    if plan.blocked:
        return replace(row, holds=plan.blocked)
    return replace(row, holds=plan.held.text if plan.held else "")


def _doing(step: BuildStep) -> str:
    where = f" on {step.bench.name}" if step.bench else ""
    who = f", {step.person.name}" if step.person else ""
    return f"{step.label}{where}{who}"


def move_preview(*, build: Build, place: int) -> tuple[WindowChange, ...]:
    """Who would move, from which place and window to which, if a build were moved. Promises stay as they are.

    A place outside the line is taken to its end or its front.
    """
    state, now, policies = plan_basis()
    moved = with_place(state, build.number, place)
    return window_changes(planned(state, now, policies), planned(moved, now, policies))


def with_place(state: ShopState, number: str, place: int) -> ShopState:
    """The shop with one build at another place and the others closed up around it."""
    line = sorted(state.builds, key=lambda each: each.place)
    moving = [each for each in line if each.number == number]
    others = [each for each in line if each.number != number]
    at = min(max(place, 1), len(line)) - 1
    renumbered = enumerate([*others[:at], *moving, *others[at:]], start=1)
    return replace(state, builds=tuple(_at(each, index) for index, each in renumbered))


def _at(build: OpenBuild, place: int) -> OpenBuild:
    return build if build.place == place else replace(build, place=place)


def window_changes(before: LinePlan, after: LinePlan) -> tuple[WindowChange, ...]:
    """The builds whose place or window differs between two plans, in order of the line as it was."""
    moves = {move.number for move in moves_between(before, after)}
    news = {plan.number: plan for plan in after.builds}
    pairs = [(old, news[old.number]) for old in before.builds if old.number in news]
    changed = {old.number: (old, new) for old, new in pairs if old.number in moves or old.place != new.place}
    rows, odds = _builds_by_number(changed), line_odds(before.revision)
    return tuple(window_change(rows[number], old, new, odds) for number, (old, new) in changed.items())


def _builds_by_number(numbers: Mapping[str, object]) -> dict[str, Build]:
    rows = Build.objects.filter(number__in=list(numbers)).select_related("customer", "donor__family").order_by("place")
    return {row.number: row for row in rows}


def window_change(build: Build, old: BuildPlan, new: BuildPlan, odds: LineOdds | None) -> WindowChange:
    """One build in two plans, whether anything differs or not. `odds` of the line as it is."""
    now = odds.window(old.number) if odds and old.finish_from else None
    before = now or (old.finish_from, old.finish_to)
    after = _moved(now, old, new) if now else (new.finish_from, new.finish_to)
    decides = 0 if now else 1  # with runs a promise is late when half of them are past it, else when slow hours are
    promised = None if build.state == BuildState.READY else build.promised_to  # what is ready breaks no promise
    held, holds = (_within(window[decides], promised) for window in (before, after))
    late = after[decides]
    return WindowChange(
        build=build,
        place_before=old.place,
        place_after=new.place,
        from_before=before[0],
        to_before=before[1],
        from_after=after[0],
        to_after=after[1],
        late_days=max((late - promised).days, 0) if late and promised else None,
        breaks=held and not holds,
        mends=holds and not held,
        simulated=odds is not None,
    )


def _moved(now: tuple[date, date], old: BuildPlan, new: BuildPlan) -> tuple[date | None, date | None]:
    """The runs' window, each day moved by as much as the plan moves at its pace; none when the plan has no day."""
    if not (old.finish_from and old.finish_to and new.finish_from and new.finish_to):
        return None, None
    first = now[0] + (new.finish_from - old.finish_from)
    return first, max(now[1] + (new.finish_to - old.finish_to), first)


def _within(day: date | None, promised_to: date | None) -> bool:
    return bool(day and promised_to and day <= promised_to)
