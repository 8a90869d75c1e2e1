"""`manage.py db_worker`: the task queue's own worker. Beside its work it loads the fast loops, and sees to it that
there are odds for the plan as it stands.

The first loading on a machine compiles for half a minute or more. Meanwhile mail goes out, and odds are drawn from
fewer runs; they are drawn anew when the loops are there.
"""

from __future__ import annotations

import os
from typing import Any

from django.conf import settings
from django.utils.autoreload import DJANGO_AUTORELOAD_ENV
from django_tasks_db.management.commands import db_worker

from shop.tasks import ask_for_odds
from shop.warming import warm_in_background


class Command(db_worker.Command):
    def handle(self, *, reload: bool, **options: Any) -> None:
        works_here = not reload or os.environ.get(DJANGO_AUTORELOAD_ENV) == "true"  # else a child process does
        if works_here and settings.DRAW_ODDS:
            ask_for_odds()
            warm_in_background(then=ask_for_odds)
        super().handle(reload=reload, **options)
