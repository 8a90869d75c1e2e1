"""A re-plan that waits to be looked at: what it would move, and whether it still fits the shop."""

from __future__ import annotations

from dataclasses import dataclass, replace

from quoting.request import Turn
from shop.models import LineLock, Replan
from shop.selectors.line import WindowChange, window_changes
from shop.selectors.plan import plan_basis, planned


@dataclass(frozen=True, kw_only=True)
class ReplanPage:
    """A re-plan with the windows it would move now. `behind` how often the plan has changed since: then it is stale."""

    replan: Replan
    behind: int
    changes: tuple[WindowChange, ...] = ()
    turns: tuple[str, ...] = ()

    @property
    def stale(self) -> bool:
        return self.behind > 0

    @property
    def open(self) -> bool:
        """Whether it can be followed."""
        return not self.stale and self.replan.followed_at is None

    @property
    def helpless(self) -> list[str]:
        """Why no order can help these builds, in words."""
        return [text for *_, text in self.replan.builds if text]

    @property
    def earlier(self) -> int:
        return sum((change.days_later or 0) < 0 for change in self.changes)

    @property
    def later(self) -> int:
        return sum((change.days_later or 0) > 0 for change in self.changes)


def replan_waiting() -> Replan | None:
    """The newest re-plan when it fits the plan as it stands and nobody has followed it."""
    row = Replan.objects.order_by("-made_at", "-pk").first()
    if row is None or row.followed_at is not None or row.revision != _revision():
        return None
    return row


def replan_page(public_id: str) -> ReplanPage:
    """One re-plan. Raises Replan.DoesNotExist."""
    row = Replan.objects.get(public_id=public_id)
    page = ReplanPage(replan=row, behind=max(_revision() - row.revision, 0))
    if not page.open:
        return page
    state, now, policies = plan_basis()
    turns = turns_of(row)
    after = planned(replace(state, turns=(*state.turns, *turns)), now, policies)
    labels = {(build.number, step.code): step.label for build in state.builds for step in build.steps}
    return replace(
        page,
        changes=window_changes(planned(state, now, policies), after),
        turns=tuple(_words(turn, labels) for turn in turns),
    )


def turns_of(row: Replan) -> tuple[Turn, ...]:
    """The turns by which the shop would follow it."""
    return tuple(Turn(build=a, step=b, then_build=c, then_step=d) for a, b, c, d in row.turns)


def _words(turn: Turn, labels: dict[tuple[str, str], str]) -> str:
    first, then = labels.get((turn.build, turn.step), ""), labels.get((turn.then_build, turn.then_step), "")
    return f"{first} of {turn.build} before {then} of {turn.then_build}"


def _revision() -> int:
    lock = LineLock.objects.filter(pk=1).first()
    return lock.revision if lock else 0
