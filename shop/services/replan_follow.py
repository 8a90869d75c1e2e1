"""Following a re-plan: its turns are taken, by a person and for a reason."""

from __future__ import annotations

from django.contrib.auth.models import User
from django.utils import timezone

from shop.models import Build, BuildStep, Replan, StepState, StepTurn
from shop.selectors.replans import turns_of
from shop.services.bench_order import CHANGED, VERB, WHY
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.line_lock import line_lock
from shop.services.stock import reason_guard


def replan_follow(*, replan: Replan, reason: str, person: User) -> Replan:
    """Take a re-plan's turns, all or none. Places in line, parts kept and promised dates stay. Safe to repeat.

    Refused when the plan has changed since it was found: then it may no longer be the better one.
    """
    with line_lock() as lock:
        row = Replan.objects.select_for_update().get(pk=replan.pk)
        if row.followed_at is not None:
            return row
        reason = reason_guard(reason, WHY)
        if lock.revision - 1 != row.revision:
            raise Refused(CHANGED)
        steps = {
            (step.build.number, step.code): step
            for step in BuildStep.objects.filter(state=StepState.TODO).select_related("build")
        }
        builds: dict[str, Build] = {}
        for turn in turns_of(row):
            first, then = steps[turn.build, turn.step], steps[turn.then_build, turn.then_step]
            StepTurn.objects.get_or_create(first=first, then=then, defaults={"reason": reason, "person": person})
            builds.update({step.build.number: step.build for step in (first, then)})
        for number, build in sorted(builds.items()):
            event_write(person=person, verb=VERB, subject=number, build=build, after="as re-planned", reason=reason)
        row.followed_at, row.followed_by = timezone.now(), person
        row.save(update_fields=["followed_at", "followed_by"])
    return row
