"""The state of a build, and what makes it ready."""

from __future__ import annotations

from collections.abc import Sequence

from django.contrib.auth.models import User
from django.utils import timezone

from shop.models import Build, BuildState, StepState
from shop.selectors.plan import line_plan
from shop.selectors.shop import the_shop
from shop.selectors.steps import lack_text
from shop.selectors.stock import NeedRow, need_rows
from shop.services.builds import open_build
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.line_lock import line_lock
from shop.services.stock_issue import needs_issue


def build_mark_ready(*, build: Build, person: User) -> Build:
    """Say that a build is ready: a parts kit that is packed, or one whose last part came after its last step.

    What is kept for it is issued. Refused while a step is not done or a part is short. Safe to repeat.
    """
    with line_lock():
        row = open_build(build)
        if row.state == BuildState.READY:
            return row
        if row.on_hold:
            raise Refused(f"{row} is on hold: {row.hold_reason}. Release it first.")
        open_step = row.steps.exclude(state=StepState.DONE).order_by("position").first()
        if open_step is not None:
            raise Refused(f"{open_step.label} is not done. Finish every step first.")
        needs = need_rows(row.needs.select_related("component", "build").order_by("pk"))
        short = [need for need in needs if need.short]
        if short:
            shop = the_shop()
            plan = line_plan(shop=shop).build(row.number)
            raise Refused(" ".join(lack_text(need, plan.parts if plan else (), shop) for need in short))
        make_ready(row, needs, person)
    return row


def make_ready(build: Build, needs: Sequence[NeedRow], person: User) -> None:
    """Issue what is kept and set the build ready. Call it under the line's lock, with nothing short."""
    needs_issue([(need.need, need.reserved) for need in needs if need.reserved], person=person)
    build.finished_at = timezone.now()
    build.save(update_fields=["finished_at"])
    state_set(build, BuildState.READY, person)


def state_set(build: Build, state: BuildState, person: User) -> None:
    """Another state, with its event."""
    before, build.state = build.get_state_display(), state
    build.save(update_fields=["state"])
    event_write(
        person=person,
        verb="state changed",
        subject=build.number,
        build=build,
        before=before,
        after=build.get_state_display(),
    )
