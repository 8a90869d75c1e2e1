"""`manage.py tick`: the clock's work, once a night. Safe to repeat and to run twice at once."""

from __future__ import annotations

from argparse import ArgumentParser, ArgumentTypeError
from collections.abc import Callable
from datetime import timedelta
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shop.selectors.shop import shop_today
from shop.services.clock import tasks_prune, tasks_ready_again
from shop.services.quotes import versions_lapse
from shop.services.replans import replan_find, replan_keep
from shop.tasks import ask_for_odds

# Our own choices: no task of ours takes minutes, and two weeks are enough to look into a failure.
STUCK_MINUTES = 60
KEPT_DAYS = 14


def counted(number: int, what: str) -> str:
    """ "1 quote", "2 quotes"."""
    return f"{number} {what}{'' if number == 1 else 's'}"


def whole(text: str) -> int:
    """A whole number of at least 1."""
    if not (text.isascii() and text.isdigit() and int(text) >= 1):
        raise ArgumentTypeError(f"{text!r} is not a whole number of at least 1")
    return int(text)


class Command(BaseCommand):
    help = (
        "The night's work: quotes past their day lapse, tasks of a killed worker are tried again, "
        "the odds of finish days are drawn anew, old tasks go."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--stuck-minutes",
            type=whole,
            default=STUCK_MINUTES,
            help="a task running for longer belongs to a worker that is gone (default: %(default)s)",
        )
        parser.add_argument(
            "--keep-days", type=whole, default=KEPT_DAYS, help="ended tasks are kept so long (default: %(default)s)"
        )

        parser.add_argument(
            "--replan-seconds",
            type=whole,
            help="re-plan the open builds so long and lay what is found before the owner; none when left out",
        )

    def handle(self, *, stuck_minutes: int, keep_days: int, replan_seconds: int | None = None, **_: Any) -> None:
        jobs: tuple[tuple[str, Callable[[], str]], ...] = (
            ("quotes", lapse),
            ("tasks", lambda: ready_again(timedelta(minutes=stuck_minutes))),
            ("odds", odds_anew),
            ("old tasks", lambda: prune(timedelta(days=keep_days))),
        )
        if replan_seconds:
            jobs = (*jobs, ("re-plan", lambda: replanned(replan_seconds)))
        failed = []
        for name, work in jobs:
            try:
                self.stdout.write(f"{name}: {work()}")
            except Exception as error:
                failed.append(f"{name}: {type(error).__name__}: {error}")
        if failed:
            raise CommandError("Not everything was done. Run it again once this is mended.\n" + "\n".join(failed))


def lapse() -> str:
    day = shop_today()
    return f"{counted(versions_lapse(day), 'offer')} lapsed, by the shop's date {day}"


def ready_again(after: timedelta) -> str:
    freed = tasks_ready_again(after=after)
    return f"{freed.ready} of a killed worker ready again, {freed.given_up} given up"


def odds_anew() -> str:
    """The day has changed: hours that were left and parts that should have come are other ones now."""
    return "the worker is asked for new ones" if ask_for_odds() else "the worker is asked already"


def replanned(seconds: int) -> str:
    found = replan_find(seconds=seconds)
    if not found.turns:
        return "no better order found"
    replan_keep(found=found)
    return f"a better order kept for the owner, {counted(len(found.turns), 'turn')}"


def prune(after: timedelta) -> str:
    return f"{counted(tasks_prune(after=after), 'ended one')} forgotten"
