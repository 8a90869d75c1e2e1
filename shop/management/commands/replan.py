"""`manage.py replan`: look for a better order of the work in the shop, and say how much better any could be."""

from __future__ import annotations

from argparse import ArgumentParser, ArgumentTypeError
from datetime import date
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from quoting.errors import CalendarError
from shop import written
from shop.selectors.shop import the_shop
from shop.services.replans import Found, replan_find, replan_keep

SECONDS = 60  # our own choice: sixty builds are proved or nearly so in that time
ENDED = {
    "proved": "proved: no plan is better",
    "work": "the limit of work",
    "seconds": "the limit of seconds",
    "infeasible": "nothing found within the promises",
    "not run": "not run",
}
KEPT_TURNS = "turns taken on the bench plan: {turns}, all kept; what is best may be without some of them"


def seconds(text: str) -> float:
    """Seconds above nothing."""
    try:
        found = float(text)
    except ValueError:
        found = 0.0
    if not 1 <= found <= 3600:
        raise ArgumentTypeError(f"{text!r} is not a number of seconds from 1 to 3600")
    return found


class Command(BaseCommand):
    help = (
        "Looks for a better order of the work on the open builds: least late first, then soonest done. Nobody becomes "
        "later against a promise for another. No promised date, no place in line and no step changes: with --keep the "
        "owner finds it on the bench plan and may follow it there."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--seconds", type=seconds, default=SECONDS, help="search so long (default: %(default)s)")
        parser.add_argument("--keep", action="store_true", help="lay what is found before the owner on the bench plan")

    def handle(self, *, seconds: float, keep: bool, **_: Any) -> None:
        try:
            found = replan_find(seconds=seconds)
        except CalendarError as error:
            raise CommandError(str(error)) from error
        for line in told(found, the_shop().locale):
            self.stdout.write(line)
        if keep and found.turns:
            replan_keep(found=found)
            self.stdout.write("Kept: the owner finds it on the bench plan.")
        elif keep:
            self.stdout.write("Nothing kept: the shop's own plan would not get better.")


def told(found: Found, locale: str) -> list[str]:
    """A line for each build, then the figures."""
    plan = found.plan

    def day(value: date) -> str:
        return written.day(value, locale)

    lines = [f"{'build':<12} {'now':<14} {'then':<14} {'promised':<14} then"]
    for number, before, after, promised in plan.builds:
        late = (after - promised).days if promised else 0
        verdict = f"late by {late} days" if late > 0 else "kept" if promised else "no promise"
        until = day(promised) if promised else "–"
        lines.append(f"{number:<12} {day(before):<14} {day(after):<14} {until:<14} {verdict}")
    return [
        *(lines if plan.builds else ["No open build has a date to plan."]),
        "",
        f"late, open hours in all: {plan.lateness_before_h:.1f} now, {plan.lateness_h:.1f} then, "
        f"{plan.lateness_bound_h:.1f} at best",
        f"to the finishes, open hours in all: {plan.flow_before_h:.1f} now, {plan.flow_h:.1f} then, "
        f"{plan.flow_bound_h:.1f} at best; at most {plan.gap:.1%} from the best",
        f"method: {plan.method}; ended by {ENDED[plan.ended[0]]} (lateness), {ENDED[plan.ended[1]]} (finishes), "
        f"{ENDED[plan.ended[2]]} (change)",
        *([KEPT_TURNS.format(turns=plan.kept_turns)] if plan.kept_turns else []),
        followed(found),
        *(f"- {binding.text}" for binding in plan.bindings),
    ]


def followed(found: Found) -> str:
    """How the shop would follow it."""
    plan = found.plan
    at_best = plan.lateness_before_h <= plan.lateness_bound_h and plan.flow_before_h <= plan.flow_bound_h
    helpless = " These builds no order can help:" if plan.bindings else ""
    if plan.builds and at_best:
        at_bound = "no plan is better than the one there is: lateness and finishes are at the bound"
        return f"To follow: nothing; {at_bound}.{helpless}"
    if not found.turns:
        return (
            "To follow: nothing; no turns on the benches make the plan better without a build getting later against "
            f"its promise, at the likely hours or at the slow ones.{helpless}"
        )
    return (
        f"To follow: {len(found.turns)} turns on the benches; then {found.followed_lateness_h:.1f} h late, "
        f"{found.followed_flow_h:.1f} h to the finishes.{helpless}"
    )
