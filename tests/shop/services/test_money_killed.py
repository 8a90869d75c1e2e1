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
from urllib.parse import quote

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
SELECT v.id, CASE v.state WHEN 'accepted' THEN 1 ELSE 0 END,
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
TILL = f"till-{os.getpid()}"  # what the server calls the killed client
POSTGRESQL_REST_S = 10  # until the server has noticed that its client is gone and rolled back
pytestmark = [pytest.mark.slow, pytest.mark.both_databases]


def test_a_hundred_kills_leave_no_half_deposit(threads: Callable[[], Threads], morning, person) -> None:
    made_shop.make_whole_shop()
    motor = make_part("MOT-1")
    for number in range(1, TIMES + 21):
        make_kit(f"Q-{number}", {motor: 1})
    person("counter")
    file, random = threads().file, Random(7)  # noqa: S311 - when to kill
    killed_inside = tried = 0
    while tried < TIMES and looked_at(file, "SELECT 1 FROM shop_quoteversion WHERE state = 'offered' LIMIT 1"):
        begun, done = killed(file, random.uniform(0.0, 0.25))
        tried += 1
        killed_inside += begun > done
        half = [row for row in looked_at(file, WHOLE) if row[1:] not in ((0,) * 8, (1,) * 8)]
        assert half == []
        receipts = [int(row[0][2:]) for row in looked_at(file, "SELECT receipt FROM shop_ledgerentry ORDER BY number")]
        assert receipts == list(range(1, len(receipts) + 1))
        if file is not None:
            assert [row[0] for row in looked_at(file, "PRAGMA integrity_check")] == ["ok"]
    assert tried > TIMES // 2, "too few kills: the offers ran out"
    assert killed_inside > TIMES // 4, "most kills hit between two deposits: nothing was proved"


def killed(file: Path | None, after_s: float) -> tuple[int, int]:
    """Start taking deposits, kill the process some time after the first was begun; how many were begun and done."""
    environment = {**os.environ, "DJANGO_SETTINGS_MODULE": "tests.settings", "DATABASE_URL": address(file)}
    with subprocess.Popen(
        [sys.executable, "-c", PROGRAM], cwd=ROOT, env=environment, stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        first = process.stdout.readline()
        time.sleep(after_s)
        process.send_signal(signal.SIGKILL)
        rest = process.stdout.read()
    if file is None:
        others_gone()
    lines = (first + rest).splitlines()
    return sum(line.startswith("begun") for line in lines), sum(line.startswith("done") for line in lines)


def address(file: Path | None) -> str:
    """DATABASE_URL of the test's own database: the copy in a file, or the one on the server."""
    if file is not None:
        return f"sqlite:///{file}"
    at = {
        name: quote(str(connection.settings_dict[name]), safe="")
        for name in ("USER", "PASSWORD", "HOST", "PORT", "NAME")
    }
    return "postgres://{USER}:{PASSWORD}@{HOST}:{PORT}/{NAME}".format(**at) + f"?application_name={TILL}"


def others_gone() -> None:
    """Wait until the server has dropped the killed client's transaction, as it does once it writes to it."""
    sessions = f"SELECT COUNT(*) FROM pg_stat_activity WHERE application_name = '{TILL}'"  # noqa: S608 - ours
    until = time.monotonic() + POSTGRESQL_REST_S
    while looked_at(None, sessions) != [(0,)]:
        assert time.monotonic() < until, "the killed client's session is still there"
        time.sleep(0.02)


def looked_at(file: Path | None, statement: str) -> list[tuple[Any, ...]]:
    """What a server that is started again finds."""
    if file is None:
        with connection.cursor() as cursor:
            cursor.execute(statement)
            return list(cursor.fetchall())
    with contextlib.closing(sqlite3.connect(file)) as database:
        return list(database.execute(statement))
