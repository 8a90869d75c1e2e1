"""Eight tills at once on the same quotes, the same builds and the last part on the shelf."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from functools import partial
from random import Random
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.db.models import Sum

from shop.models import Build, Component, LedgerEntry, QuoteVersion, StockMove
from shop.selectors.build_money import build_money
from shop.selectors.invoices import invoice_owed
from shop.services.build_states import build_mark_ready
from shop.services.cash_reverse import entry_reverse
from shop.services.credit_notes import credit_note_make
from shop.services.errors import Refused
from shop.services.hand_over import build_hand_over
from shop.services.invoices import invoice_make
from shop.services.payments import deposit_add, invoice_pay
from shop.services.refunds import build_cancel, refund_make
from tests.shop import made_shop
from tests.shop.made_offers import make_kit, make_part, price_of, take
from tests.shop.made_parts import receive
from tests.shop.money_truths import all_hold, end_holds
from tests.shop.threads import Threads

TILLS = 8
Start = Callable[[], Threads]
Drawer = Counter[str]


class Till:
    """One person at one till: does whatever comes next, and counts what went through its hands."""

    def __init__(self, number: int, person: User, attempts: int) -> None:
        self.number, self.person, self.attempts = number, person, attempts
        self.random = Random(number)  # noqa: S311 - which button is pressed next
        self.drawer: Drawer = Counter()
        self.done: Counter[str] = Counter()

    def work(self) -> tuple[Drawer, Counter[str]]:
        often = (self.accept, self.deposit, self.deposit, self.refund, self.refund, self.undo, self.pay, self.invoice)
        # Seldom: a build that ended refuses all the rest.
        ends = (self.ready, self.ready, self.credit, self.cancel, self.hand_over, self.hand_over)
        acts = 4 * often + ends
        for attempt in range(self.attempts):
            act = self.accept if attempt < 2 else self.random.choice(acts)
            try:
                act(f"till {self.number} press {attempt}")
                self.done[act.__name__] += 1
            except (Refused, LookupError):  # refused, or nothing there to do it to
                continue
        return self.drawer, self.done

    def accept(self, key: str) -> None:
        version = self.random.choice(list(QuoteVersion.objects.filter(state="offered")))
        taken = take(version, self.person, key)
        self.drawer["cash"] += price_of(version).deposit * taken.created  # type: ignore[assignment]

    def deposit(self, key: str) -> None:
        deposit_add(
            build=self.build(), amount=Decimal(700), method="card", person=self.person, key=key, allow_more=True
        )
        self.drawer["card"] += 700

    def ready(self, key: str) -> None:
        build_mark_ready(build=self.build(), person=self.person)

    def invoice(self, key: str) -> None:
        invoice_make(build=self.build(), person=self.person, key=key)

    def pay(self, key: str) -> None:
        invoice = self.random.choice(list(LedgerEntry.objects.filter(kind="invoice")))
        amount = invoice_owed(invoice)
        invoice_pay(invoice=invoice, amount=amount, method="bank", person=self.person, key=key)
        self.drawer["bank"] += amount  # type: ignore[assignment]

    def refund(self, key: str) -> None:
        build = self.build()
        amount = build_money([build])[build.pk].overpaid
        refund_make(build=build, amount=amount, method="bank", reason="over", person=self.person, key=key)
        self.drawer["bank"] -= amount  # type: ignore[assignment]

    def credit(self, key: str) -> None:
        invoice = self.random.choice(list(LedgerEntry.objects.filter(kind="invoice")))
        credit_note_make(invoice=invoice, lines=None, reason="wrong", person=self.person, key=key)

    def cancel(self, key: str) -> None:
        entry = build_cancel(build=self.build(), reason="moved", method="bank", person=self.person, key=key)
        if entry is not None:
            self.drawer["bank"] -= sum(p.amount for p in entry.postings.filter(credit="bank"))  # type: ignore[assignment]

    def undo(self, key: str) -> None:
        entry = self.random.choice(list(LedgerEntry.objects.filter(kind="deposit")))
        entry_reverse(entry=entry, reason="bounced", person=self.person, key=key, keep_build=self.random.random() < 0.5)
        self.drawer[entry.method] -= sum(p.amount for p in entry.postings.all())  # type: ignore[assignment]

    def hand_over(self, key: str) -> None:
        build_hand_over(build=self.build(), person=self.person, override="a friend")

    def build(self) -> Build:
        return self.random.choice(list(Build.objects.all()))


@pytest.fixture
def motor(threads: Start, morning: datetime) -> Component:
    made_shop.make_whole_shop()
    return make_part("MOT-1")


def run(motor: Component, threads: Start, person: Any, *, quotes: int, attempts: int, limit_s: float) -> Counter[str]:
    """Some hours at eight tills, then the truth of it."""
    charger = make_part("CHG-1")
    for number in range(1, quotes + 1):
        make_kit(f"Q-{number}", {charger if number % 2 else motor: 1})  # half can be finished from the shelf
    receive(motor, 1)
    receive(charger, quotes)
    boss = person("owner")
    tills = threads()
    answers = tills.run([Till(n, boss, attempts).work for n in range(TILLS)], limit_s=limit_s)
    broken = [answer for answer in answers if isinstance(answer, Exception)]
    assert not broken, broken
    names = {name for drawer, _ in answers for name in drawer}
    sums = {name: sum((Decimal(drawer[name]) for drawer, _ in answers), Decimal(0)) for name in names}
    tills.look(partial(all_hold, {name: amount for name, amount in sums.items() if amount}))
    tills.look(end_holds)
    tills.look(partial(the_last_part_is_in_one_place, motor))
    return sum((answer[1] for answer in answers), Counter())


def the_last_part_is_in_one_place(motor: Component) -> None:
    sums = StockMove.objects.filter(component=motor).aggregate(here=Sum("on_hand"), kept=Sum("reserved"))
    assert 0 <= sums["kept"] <= sums["here"] <= 1
    taken = StockMove.objects.filter(component=motor, kind="issued").count()
    assert taken <= 1
    assert sums["here"] == 1 - taken


def test_eight_tills_leave_the_book_whole(motor: Component, threads: Start, person) -> None:
    done = run(motor, threads, person, quotes=6, attempts=6, limit_s=60)
    assert done["accept"] >= 1


@pytest.mark.slow
@pytest.mark.both_databases
def test_eight_tills_five_hundred_times_each(motor: Component, threads: Start, person) -> None:
    done = run(motor, threads, person, quotes=120, attempts=500, limit_s=1500)
    least = {"accept": 100, "deposit": 100, "refund": 20, "undo": 20, "cancel": 5, "pay": 1, "hand_over": 1}
    assert not {act: done[act] for act, number in least.items() if done[act] < number}
