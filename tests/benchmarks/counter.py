"""What one change at the Counter costs on the server, with the demo's data, part by part.

Three times: before the worker kept any simulated runs, with the few runs a web process reads until its fast loops are
loaded, and with all of them. Run by hand: python -m tests.benchmarks.counter. Prints milliseconds; no test asserts
them.
"""

from __future__ import annotations

import os
import statistics
import sys
import time
from collections import defaultdict
from collections.abc import Callable
from contextlib import ExitStack
from typing import Any
from unittest import mock

os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"

import django

django.setup()

from django.contrib.auth.models import User
from django.core.management import call_command
from django.db import connection
from django.template.base import Template
from django.test import Client
from django.test.runner import DiscoverRunner
from django.urls import reverse

import shop.views.quotes.page as counter_page
from quoting.odds import warm_up
from shop.models import QuoteVersion, VersionState
from shop.services.odds import odds_draw
from shop.services.quotes import version_revise

TARGET_MS = 100.0
ROUNDS = 30


class Clock:
    """Seconds by part; a part that runs inside another counts once."""

    def __init__(self) -> None:
        self.seconds: dict[str, float] = defaultdict(float)
        self.queries = 0
        self.inside: list[str] = []

    def timed(self, part: str, work: Callable[..., Any]) -> Callable[..., Any]:
        def run(*given: Any, **named: Any) -> Any:
            start = time.perf_counter()
            self.inside.append(part)
            try:
                return work(*given, **named)
            finally:
                spent = time.perf_counter() - start
                self.inside.pop()
                self.seconds[part] += spent
                if self.inside:
                    self.seconds[self.inside[-1]] -= spent

        return run

    def execute(self, execute: Callable[..., Any], *given: Any) -> Any:
        self.queries += 1
        return self.timed("database", execute)(*given)


def a_draft() -> QuoteVersion:
    """The demo's largest offered quote, revised."""
    offered = QuoteVersion.objects.filter(state=VersionState.OFFERED, quote__donor__isnull=False)
    version = max(offered, key=lambda each: (each.options.count(), each.pk))
    return version_revise(version=version, person=User.objects.get(username="owner"))


def measure(client: Client, version: QuoteVersion) -> None:
    option = version.options.order_by("key").first()
    assert option is not None
    address = reverse("option-pack", args=[version.quote.public_id, option.key])
    totals, cpus, clocks = [], [], []
    for number in range(ROUNDS + 3):
        data = {
            "pack-series": option.series,
            "pack-parallel": (option.parallel or 1) + number % 2,
            "pack-link_mohm": "1.5",
        }
        clock = Clock()
        with ExitStack() as stack:
            stack.enter_context(connection.execute_wrapper(clock.execute))
            for target, name, part in ((counter_page, "quote", "engine"), (Template, "render", "template")):
                stack.enter_context(mock.patch.object(target, name, clock.timed(part, getattr(target, name))))
            start, cpu = time.perf_counter(), time.process_time()
            answer = client.post(address, data, headers={"HX-Request": "true"})
            spent, cpu = time.perf_counter() - start, time.process_time() - cpu
        assert answer.status_code == 200, answer.status_code
        if number >= 3:  # the first ones fill caches
            totals.append(spent)
            cpus.append(cpu)
            clocks.append(clock)
    report(version, totals, cpus, clocks)


def report(version: QuoteVersion, totals: list[float], cpus: list[float], clocks: list[Clock]) -> None:
    middle_ms = statistics.median(totals) * 1000
    sys.stdout.write(f"one change, {version.options.count()} option(s), {clocks[0].queries} queries\n")
    for part in ("engine", "database", "template"):
        part_ms = statistics.median(clock.seconds[part] for clock in clocks) * 1000
        sys.stdout.write(f"  {part:<10}{part_ms:7.1f} ms\n")
    rest_ms = middle_ms - sum(statistics.median(c.seconds[p] for c in clocks) for p in clocks[0].seconds) * 1000
    sys.stdout.write(f"  {'the rest':<10}{rest_ms:7.1f} ms  rows to objects, forms, middleware\n")
    sys.stdout.write(f"  {'together':<10}{middle_ms:7.1f} ms  middle of {len(totals)}, best {min(totals) * 1000:.1f}, ")
    sys.stdout.write(f"processor {statistics.median(cpus) * 1000:.1f}, best {min(cpus) * 1000:.1f}; ")
    sys.stdout.write(f"aim {TARGET_MS:.0f}, ratio {middle_ms / TARGET_MS:.2f}\n")


def main() -> None:
    runner = DiscoverRunner(verbosity=0, interactive=False)
    databases = runner.setup_databases()
    try:
        call_command("loaddemo", verbosity=0)
        client = Client()
        client.force_login(User.objects.get(username="counter"))
        version = a_draft()
        sys.stdout.write("without simulated runs: ")
        measure(client, version)
        sys.stdout.write("with few simulated runs: ")
        odds_draw()
        measure(client, version)
        sys.stdout.write("with all simulated runs: " if warm_up() else "without numba, again: ")
        odds_draw()
        measure(client, version)
    finally:
        runner.teardown_databases(databases)


if __name__ == "__main__":
    main()
