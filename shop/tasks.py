"""What the worker does, queued in the database."""

from __future__ import annotations

from django.conf import settings
from django_tasks import task
from django_tasks_db.models import DBTaskResult

from shop.services.odds import odds_draw

AFTER_MAIL = -10  # letters go first: they take a moment, a long line's runs some seconds


@task(priority=AFTER_MAIL)
def draw_odds() -> str:
    """Odds of the plan as it stands when the worker comes to it."""
    row = odds_draw()
    return f"kept for revision {row.revision}, {row.samples} runs" if row else "nothing newer to keep"


def ask_for_odds() -> bool:
    """Queue it, unless one is waiting already: that one will read the plan as it is now. Returns whether it was.

    One that is running has read an older plan, so it does not count.
    """
    if DBTaskResult.objects.ready().filter(task_path=draw_odds.module_path).exists():
        return False
    draw_odds.enqueue()
    return True


def plan_changed() -> None:
    """After each change of the plan, when it is committed."""
    if settings.DRAW_ODDS:
        ask_for_odds()
