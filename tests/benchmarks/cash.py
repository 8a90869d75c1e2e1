"""How long the pages of money take with 50,000 entries in the cash book.

Run by hand: python -m tests.benchmarks.cash. Prints queries, and milliseconds of the clock and of the processor on the
server's side; on a machine that does other things as well, the second tells. DATABASE_URL as for the tests.
"""

from __future__ import annotations

import os
import statistics
import sys
import time
from collections.abc import Callable
from datetime import date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"

import django

django.setup()

from django.contrib.auth.models import Group, User  # noqa: E402 - needs setup
from django.core.management import call_command  # noqa: E402
from django.db import connection  # noqa: E402
from django.test import Client  # noqa: E402
from django.test.runner import DiscoverRunner  # noqa: E402
from django.test.utils import CaptureQueriesContext  # noqa: E402
from django.urls import reverse  # noqa: E402

from shop.models import Build, Customer, LedgerEntry, Posting, Quote, QuoteVersion, Shop, triggers  # noqa: E402

ENTRIES, PER_BUILD, OPEN_BUILDS, CUSTOMERS = 50_000, 4, 60, 400
PAGE_MS, ROUNDS = 50.0, 7
DAYS = 365 * 9
NOON = datetime(2026, 3, 2, 12, tzinfo=ZoneInfo("UTC"))


Moves = list[tuple[str, str, Decimal]]


def fill(entries: int) -> tuple[Customer, User]:
    """Years of builds: a deposit, an invoice, the deposit applied, the payment. The last ones only hold a deposit."""
    owner = User.objects.create_user("owner")
    owner.groups.add(Group.objects.get_or_create(name="owner")[0])
    Shop.objects.update_or_create(pk=1, defaults={"name": "Harbor Lane Electrics", "address": "1 Harbor Lane"})
    customers = Customer.objects.bulk_create(Customer(name=f"Customer {number}") for number in range(CUSTOMERS))
    count = entries // PER_BUILD
    quotes = Quote.objects.bulk_create(
        Quote(number=f"Q-{number}", customer=customers[number % CUSTOMERS]) for number in range(count)
    )
    frozen = {"state": "accepted", "accepted_option": "A", "offered_at": NOON, "valid_until": NOON.date()}
    versions = QuoteVersion.objects.bulk_create(
        QuoteVersion(quote=each, request={}, result={}, **frozen) for each in quotes
    )
    builds = Build.objects.bulk_create(
        Build(
            number=f"B-{number}", version=version, option_key="A", customer=quotes[number].customer, job="conversion",
            title="Anvil 500", total=Decimal(15000), accepted_at=NOON, **_state(number, count),
        )
        for number, version in enumerate(versions)
    )  # fmt: skip
    first = [row for number, build in enumerate(builds) for row in _asked(number, build, count)]
    made = _write(first, 1)
    invoices = [entry for entry in made if entry.kind == "invoice"]
    _write([row for invoice in invoices for row in _paid(invoice)], len(made) + 1)
    return customers[0], owner


def _write(rows: list[tuple[LedgerEntry, Moves]], first: int) -> list[LedgerEntry]:
    for number, (entry, _) in enumerate(rows, start=first):
        entry.number = number
    made = LedgerEntry.objects.bulk_create([entry for entry, _ in rows], batch_size=2000)
    postings = [
        Posting(entry=entry, build=entry.build, day=entry.day, debit=debit, credit=credit, amount=amount)
        for entry, (_, moves) in zip(made, rows, strict=True)
        for debit, credit, amount in moves
    ]
    Posting.objects.bulk_create(postings, batch_size=2000)
    return made


def _state(number: int, count: int) -> dict[str, object]:
    if number >= count - OPEN_BUILDS:
        return {"state": "in_line", "place": number - (count - OPEN_BUILDS) + 1}
    return {"state": "handed_over", "handed_over_at": NOON}


def _asked(number: int, build: Build, count: int) -> list[tuple[LedgerEntry, Moves]]:
    """The deposit, and the invoice of all but the last builds."""
    day = date(2017, 1, 2) + timedelta(days=number * DAYS // count)
    same = {"day": day, "build": build, "customer": build.customer}
    deposit = LedgerEntry(kind="deposit", method="bank", receipt=f"R-{number}", key=f"d{number}", **same)
    found: list[tuple[LedgerEntry, Moves]] = [(deposit, [("bank", "deposits", Decimal(4500))])]
    if number < count - OPEN_BUILDS:
        invoice = LedgerEntry(kind="invoice", document=f"INV-{number}", key=f"i{number}", **same)
        found.append((invoice, [("receivable", "sales", Decimal(14000)), ("receivable", "tax", Decimal(1000))]))
    return found


def _paid(invoice: LedgerEntry) -> list[tuple[LedgerEntry, Moves]]:
    same = {"day": invoice.day, "build": invoice.build, "customer": invoice.customer, "concerns": invoice}
    applied = LedgerEntry(kind="applied", key=f"a{invoice.pk}", **same)
    paid = LedgerEntry(kind="payment", method="bank", receipt=f"P-{invoice.pk}", key=f"p{invoice.pk}", **same)
    return [
        (applied, [("deposits", "receivable", Decimal(4500))]),
        (paid, [("bank", "receivable", Decimal(10500))]),
    ]


def measured(work: Callable[[], object]) -> tuple[float, float]:
    """Median milliseconds of the clock and of the processor, the first round left out."""
    clock, processor = [], []
    for _ in range(ROUNDS + 1):
        start, busy = time.perf_counter(), time.process_time()
        work()
        clock.append((time.perf_counter() - start) * 1000)
        processor.append((time.process_time() - busy) * 1000)
    return statistics.median(clock[1:]), statistics.median(processor[1:])


def queries(work: Callable[[], object]) -> int:
    with CaptureQueriesContext(connection) as seen:
        work()
    return len(seen)


def main() -> None:
    runner = DiscoverRunner(verbosity=0)
    old = runner.setup_databases()
    try:
        sys.stdout.write(f"{connection.vendor}\n{'':44}{'queries':>8}{'clock':>9}{'processor':>11}\n")
        for entries in (4 * OPEN_BUILDS + 400, ENTRIES):
            triggers.remove(connection)  # rows are loaded in bulk, not in the order a till writes them
            customer, owner = fill(entries)
            triggers.install(connection)
            client = Client()
            client.force_login(owner)
            pages(client, customer, LedgerEntry.objects.count())
            triggers.remove(connection)
            call_command("flush", verbosity=0, interactive=False)
            triggers.install(connection)
    finally:
        runner.teardown_databases(old)


def pages(client: Client, customer: Customer, entries: int) -> None:
    build = Build.objects.filter(state="handed_over").latest("pk")
    shown = {
        "deposits held today": reverse("deposits-held"),
        "deposits held at a day years ago": f"{reverse('deposits-held')}?at=2020-06-30",
        "statement of a customer": reverse("customer-statement", args=[customer.public_id]),
        "statement of a build": reverse("build-statement", args=[build.public_id]),
        "cash book, a month": f"{reverse('cash-book')}?first=2020-06-01&last=2020-06-30",
        "cash book, all years": f"{reverse('cash-book')}?first=2017-01-01&last=2026-12-31",
    }
    for words, address in shown.items():
        assert client.get(address).status_code == 200
        clock, processor = measured(lambda address=address: client.get(address))  # type: ignore[misc]
        count = queries(lambda address=address: client.get(address))  # type: ignore[misc]
        late = "" if processor <= PAGE_MS else f"  {processor / PAGE_MS:.1f} times the {PAGE_MS:.0f} ms aimed at"
        sys.stdout.write(f"{entries:>6} entries, {words:28}{count:>8}{clock:>6.0f} ms{processor:>8.0f} ms{late}\n")


if __name__ == "__main__":
    main()
