"""Stores, Orders and Waiting at scale: 10,000 components, 200,000 moves, 500 open orders, 40 open builds.

Run by hand: python -m tests.benchmarks.stores [scale]. Prints milliseconds and queries; no test asserts a time. `scale`
1 is the whole of it, 0.05 a quick look. The rows are made straight in the tables. "Of work" is processor time, database
included on SQLite; by the clock it is longer on a machine that does other things besides.
"""

from __future__ import annotations

import os
import statistics
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date, timedelta
from decimal import Decimal

os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"

import django

django.setup()

from django.contrib.auth.models import Group, User
from django.db import connection
from django.test import Client
from django.test.runner import DiscoverRunner
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shop.importing.count_plan import plan_counts
from shop.importing.past_purchases import plan_purchases
from shop.importing.price_list import plan_price_list
from shop.models import (
    Build,
    Component,
    ExpectedDateChange,
    ImportSubject,
    Offer,
    PartNeed,
    PurchaseOrder,
    PurchaseOrderLine,
    StockMove,
    Supplier,
)
from shop.selectors.balances import stock_balances
from shop.selectors.shop import shop_today
from shop.services.catalogue import component_import
from shop.services.count_import import count_file_apply
from shop.services.import_files import file_keep
from shop.services.price_lists import price_list_apply
from shop.services.purchase_import import purchase_file_apply
from shop.services.stock_count import stock_count, stock_receive
from tests.shop.made_builds import ACCEPTED_AT, make_accepted, make_build
from tests.shop.made_parts import make_supplier
from tests.shop.made_shop import make_customer, make_whole_shop

TARGET_MS = 100.0
ROUNDS = 7
COMPONENTS, MOVES, ORDERS, BUILDS, CLOSED = 10_000, 200_000, 500, 40, 400
NEEDS = 12  # parts of a build


def say(words: str) -> None:
    sys.stdout.write(f"{words}\n")


@contextmanager
def timed(words: str) -> Iterator[None]:
    start = time.perf_counter()
    yield
    say(f"{words:<44}{time.perf_counter() - start:>9.1f} s")


def components(wanted: int, suppliers: list[Supplier], today: date) -> list[Component]:
    kinds = ("motor", "controller", "cell", "charger", "fuse", "hardware", "lamp", "cable")
    rows = [
        Component(code=f"P-{number:05}", kind=kinds[number % len(kinds)], name=f"part {number}", list_price=Decimal(10))
        for number in range(wanted)
    ]
    made = Component.objects.bulk_create(rows, batch_size=500)
    Offer.objects.bulk_create(
        (
            Offer(
                component=component,
                supplier=suppliers[number % len(suppliers)],
                unit_cost=Decimal(5),
                priced_on=today,
                lead_low_days=10,
                lead_days=14,
                lead_high_days=28,
            )
            for number, component in enumerate(made)
        ),
        batch_size=500,
    )
    return made


def orders(wanted: int, parts: list[Component], suppliers: list[Supplier], today: date) -> None:
    """Half of the lines are late, each with two days named."""
    for number in range(wanted):
        order = PurchaseOrder.objects.create(
            number=f"P-{number}", supplier=suppliers[number % len(suppliers)], state="sent",
            ordered_on=today - timedelta(days=30),
        )  # fmt: skip
        lines = PurchaseOrderLine.objects.bulk_create(
            PurchaseOrderLine(
                order=order,
                component=parts[(number * 7 + step) % len(parts)],
                quantity=Decimal(2),
                unit_cost=Decimal(5),
                expected_on=today + timedelta(days=(number + step) % 40 - 20),
            )
            for step in range(4)
        )
        ExpectedDateChange.objects.bulk_create(
            ExpectedDateChange(line=line, new=line.expected_on, reason="as quoted") for line in lines for _ in range(2)
        )


def builds(opened: int, closed: int, parts: list[Component]) -> list[PartNeed]:
    """Builds handed over long ago, and the open ones with needs on the shelf, on order and to order."""
    needs = []
    for number in range(closed):
        customer = make_customer(f"Earlier {number} Example")
        version = make_accepted(f"Q-earlier-{number}", customer)
        build = Build.objects.create(
            number=f"B-{number}", state="cancelled", version=version, customer=customer, option_key="A",
            job="conversion", title="Anvil 500", total=Decimal(1), accepted_at=ACCEPTED_AT,
        )  # fmt: skip
        needs += [PartNeed(build=build, component=parts[(number + step) % len(parts)], quantity=Decimal(40))
                  for step in range(NEEDS)]  # fmt: skip
    for place in range(1, opened + 1):
        build = make_build(place, steps=True, number=f"B-{10_000 + place}", promised_from=shop_today(),
                           promised_to=shop_today() + timedelta(days=60))  # fmt: skip
        needs += [PartNeed(build=build, component=parts[(place * 31 + step) % len(parts)], quantity=Decimal(1),
                           step_code="wiring") for step in range(NEEDS)]  # fmt: skip
    return PartNeed.objects.bulk_create(needs, batch_size=500)


def moves(wanted: int, parts: list[Component], needs: list[PartNeed]) -> None:
    """In, kept, issued, and counted; what is issued was kept for builds that are closed now."""
    old = [need for need in needs if need.build.state == "cancelled"]
    rows: list[StockMove] = []
    for number in range(wanted // 4):
        need = old[number % len(old)]
        part = need.component
        rows += [
            StockMove(component=part, kind="received", on_hand=Decimal(1)),
            StockMove(component=part, kind="reserved", reserved=Decimal(1), need=need),
            StockMove(component=part, kind="issued", on_hand=Decimal(-1), reserved=Decimal(-1), need=need),
            StockMove(component=parts[number % len(parts)], kind="received", on_hand=Decimal(number % 2 + 1)),
        ]
    StockMove.objects.bulk_create(rows, batch_size=900)


def show(client: Client, words: str, address: str) -> None:
    times, waited, queries = [], [], 0
    for number in range(ROUNDS + 1):
        with CaptureQueriesContext(connection) as seen:
            start, begun = time.process_time(), time.perf_counter()
            answer = client.get(address)
            spent, wall = (time.process_time() - start) * 1000, (time.perf_counter() - begun) * 1000
        assert answer.status_code == 200, (address, answer.status_code)
        queries = len(seen)
        if number:
            times.append(spent)
            waited.append(wall)
    median, wall = statistics.median(times), statistics.median(waited)
    verdict = "" if median <= TARGET_MS else f"   over {TARGET_MS:.0f} ms"
    say(f"{words:<44}{median:>9.0f} ms of work{wall:>7.0f} ms by the clock{queries:>5} queries{verdict}")


def act(words: str, work: Callable[[], object]) -> None:
    start = time.process_time()
    work()
    say(f"{words:<44}{(time.process_time() - start) * 1000:>9.0f} ms of work")


def price_list(parts: list[Component], supplier: Supplier, user: User) -> None:
    """Every part of one supplier at another price, read, looked over and applied."""
    Offer.objects.update(supplier=supplier)
    rows = [f"{part.code},{6 + number % 7}" for number, part in enumerate(parts)]
    content = "\n".join(["part,unit_cost", *rows]).encode()
    columns = {"part": "part", "unit_cost": "unit_cost"}
    file = file_keep(subject=ImportSubject.PRICES, content=content, filename="list.csv", person=user)
    start = time.process_time()
    shown = plan_price_list(content, "list.csv", supplier, columns, shop_today())
    say(f"{f'Price list of {len(rows):,} rows looked over':<44}{(time.process_time() - start) * 1000:>9.0f} ms of work")
    act("Price list applied", lambda: price_list_apply(
        file=file, supplier=supplier, headings=columns, shown=shown.fingerprint, person=user))  # fmt: skip


def catalogue(parts: list[Component], supplier: Supplier, user: User) -> None:
    """As many new components as there are, with an offer each."""
    rows = [f"N-{n:05},fuse,Fuse {n},28.5,{supplier.code},14.2,12,225,125" for n in range(len(parts))]
    heading = "code,kind,name,list_price,supplier,unit_cost,lead_days,rating_a,dc_v"
    content = "\n".join([heading, *rows]).encode()
    act(f"Components, {len(rows):,} rows", lambda: component_import(content=content, filename="n.csv", person=user))


def tables(parts: list[Component], supplier: Supplier, user: User) -> None:
    """A count of every part, and as many past purchases, looked over and applied."""
    there = stock_balances()
    counted = [f"{part.code},{(there[part.pk].on_hand if part.pk in there else 0) + 1},Z{n % 40}"
               for n, part in enumerate(parts)]  # fmt: skip
    content = "\n".join(["code,counted,shelf", *counted]).encode()
    file = file_keep(subject=ImportSubject.COUNTS, content=content, filename="count.csv", person=user)
    start = time.process_time()
    shown = plan_counts(content, "count.csv")
    say(f"{f'Count of {len(parts):,} rows looked over':<44}{(time.process_time() - start) * 1000:>9.0f} ms of work")
    assert shown.may_apply, shown.problems[:3]
    act("Count applied", lambda: count_file_apply(file=file, person=user, shown=shown.fingerprint))
    past = [f"{supplier.code},{part.code},2025-01-{n % 28 + 1:02},2025-03-{n % 28 + 1:02},1,5"
            for n, part in enumerate(parts)]  # fmt: skip
    content = "\n".join(["supplier,code,ordered_on,received_on,quantity,unit_cost", *past]).encode()
    old = file_keep(subject=ImportSubject.PURCHASES, content=content, filename="old.csv", person=user)
    start = time.process_time()
    bought = plan_purchases(content, "old.csv", shop_today())
    say(f"{f'Past purchases, {len(parts):,} rows':<44}{(time.process_time() - start) * 1000:>9.0f} ms of work")
    assert bought.may_apply, bought.problems[:3]
    act("Past purchases applied", lambda: purchase_file_apply(file=old, person=user, shown=bought.fingerprint))


def main() -> None:
    scale = float(sys.argv[1]) if len(sys.argv) > 1 else 1.0
    runner = DiscoverRunner(verbosity=0)
    names = runner.setup_databases()
    try:
        make_whole_shop()
        today = shop_today()
        suppliers = [make_supplier(f"yard-{number}") for number in range(20)]
        with timed("made"):
            parts = components(max(int(COMPONENTS * scale), 500), suppliers, today)
            orders(max(int(ORDERS * scale), 10), parts, suppliers, today)
            needs = builds(BUILDS, max(int(CLOSED * scale), 10), parts)
            moves(int(MOVES * scale), parts, needs)
        user = User.objects.create_user("buyer", password="x")
        user.groups.add(Group.objects.get(name="counter"))
        client = Client()
        client.force_login(user)
        moved, ordered = StockMove.objects.count(), PurchaseOrder.objects.count()
        say(f"{len(parts):,} components, {moved:,} moves, {ordered:,} orders")
        show(client, "Stores", reverse("stores"))
        show(client, "Stores, short", f"{reverse('stores')}?show=short")
        show(client, "Stores, on the shelf", f"{reverse('stores')}?show=here")
        show(client, "Stores, searched", f"{reverse('stores')}?q=part+77")
        show(client, "A part", reverse("stock", args=[needs[-1].component.public_id]))
        show(client, "Orders", reverse("orders"))
        show(client, "An order", reverse("order", args=[PurchaseOrder.objects.first().public_id]))  # type: ignore[union-attr]
        show(client, "To order", reverse("orders-to-make"))
        show(client, "Waiting", reverse("waiting"))
        show(client, "Suppliers", reverse("suppliers"))
        part = needs[-1].component
        act("Receive", lambda: stock_receive(component=part, quantity=Decimal(1), person=None))
        act("Count", lambda: stock_count(component=part, counted=Decimal(5), reason="x", person=None))
        price_list(parts, suppliers[0], user)
        tables(parts, suppliers[0], user)
        catalogue(parts, suppliers[0], user)
    finally:
        runner.teardown_databases(names)


if __name__ == "__main__":
    main()
