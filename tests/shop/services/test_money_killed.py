"""The server killed in the middle of taking a deposit: afterwards each attempt is whole or absent."""

from __future__ import annotations

import contextlib
import os
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import Any

import pytest
from django.db import connection

from tests.shop import made_shop
from tests.shop.made_offers import make_kit, make_part
from tests.shop.threads import Threads

ROOT = Path(__file__).resolve().parents[3]
TIMES = 100
# What the killed process runs: deposits one after the other, a line when each is begun and when it is done.
PROGRAM = """
import sys, django
django.setup()
from django.contrib.auth.models import User
from shop.models import QuoteVersion
from tests.shop.made_offers import MORNING, take
import django.utils.timezone
django.utils.timezone.now = lambda: MORNING
person = User.objects.get()
for version in QuoteVersion.objects.filter(state="offered").order_by("pk"):
    print("begun", version.pk, flush=True)
    take(version, person, f"till {version.pk}")
    print("done", version.pk, flush=True)
"""
# A deposit writes all of these or none: version, build, needs, promise, entry, posting, facts, event.
WHOLE = """
SELECT v.id, v.state = 'accepted',
  (SELECT COUNT(*) FROM shop_build b WHERE b.version_id = v.id),
  (SELECT COUNT(*) FROM shop_partneed n JOIN shop_build b ON b.id = n.build_id WHERE b.version_id = v.id),
  (SELECT COUNT(*) FROM shop_promiseentry p JOIN shop_build b ON b.id = p.build_id WHERE b.version_id = v.id),
  (SELECT COUNT(*) FROM shop_ledgerentry e JOIN shop_build b ON b.id = e.build_id WHERE b.version_id = v.id),
  (SELECT COUNT(*) FROM shop_posting p JOIN shop_ledgerentry e ON e.id = p.entry_id
     JOIN shop_build b ON b.id = e.build_id WHERE b.version_id = v.id),
  (SELECT COUNT(*) FROM shop_documentfacts f JOIN shop_ledgerentry e ON e.id = f.entry_id
     JOIN shop_build b ON b.id = e.build_id WHERE b.version_id = v.id),
  (SELECT COUNT(*) FROM shop_event x JOIN shop_build b ON b.id = x.build_id
     WHERE b.version_id = v.id AND x.verb = 'deposit taken')
FROM shop_quoteversion v
"""
pytestmark = [pytest.mark.slow, pytest.mark.skipif(connection.vendor != "sqlite", reason="the file is SQLite's")]


def test_a_hundred_kills_leave_no_half_deposit(threads: Callable[[], Threads], morning, person) -> None:
    made_shop.make_whole_shop()
    motor = make_part("MOT-1")
    for number in range(1, TIMES + 21):
        make_kit(f"Q-{number}", {motor: 1})
    person("counter")
    file, random = threads().file, Random(7)  # noqa: S311 - when to kill
    assert file is not None
    killed_inside = 0
    for _ in range(TIMES):
        if not offers_left(file):
            break
        begun, done = killed(file, random.uniform(0.0, 0.25))
        killed_inside += begun > done
        half = [row for row in looked_at(file, WHOLE) if row[1:] not in ((0,) * 8, (1,) * 8)]
        assert half == []
        receipts = [int(row[0][2:]) for row in looked_at(file, "SELECT receipt FROM shop_ledgerentry ORDER BY number")]
        assert receipts == list(range(1, len(receipts) + 1))
        assert [row[0] for row in looked_at(file, "PRAGMA integrity_check")] == ["ok"]
    assert killed_inside > TIMES // 4, "most kills hit between two deposits: nothing was proved"


def killed(file: Path, after_s: float) -> tuple[int, int]:
    """Start taking deposits, kill the process some time after the first was begun; how many were begun and done."""
    environment = {**os.environ, "DJANGO_SETTINGS_MODULE": "tests.settings", "DATABASE_URL": f"sqlite:///{file}"}
    with subprocess.Popen(
        [sys.executable, "-c", PROGRAM], cwd=ROOT, env=environment, stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        first = process.stdout.readline()
        time.sleep(after_s)
        process.send_signal(signal.SIGKILL)
        rest = process.stdout.read()
    lines = (first + rest).splitlines()
    return sum(line.startswith("begun") for line in lines), sum(line.startswith("done") for line in lines)


def looked_at(file: Path, statement: str) -> list[tuple[Any, ...]]:
    """What a server that is started again finds."""
    with contextlib.closing(sqlite3.connect(file)) as database:
        return list(database.execute(statement))


def offers_left(file: Path) -> bool:
    return bool(looked_at(file, "SELECT 1 FROM shop_quoteversion WHERE state = 'offered' LIMIT 1"))
