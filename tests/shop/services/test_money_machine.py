"""Any sequence of what moves money leaves the cash book whole; see tests/shop/money_machine.py."""

from __future__ import annotations

import os
from collections import Counter
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, seed, settings
from hypothesis.stateful import run_state_machine_as_test

from shop.models import Shop
from shop.services.build_states import build_mark_ready
from shop.services.invoices import build_tell_ready
from shop.services.quotes import version_offer
from shop.services.stock_count import stock_receive
from tests.shop.made_money import make_draft_kit, make_invoiced_kit, make_kit_build, make_ready_kit
from tests.shop.made_offers import make_part, take
from tests.shop.made_shop import make_tax_place
from tests.shop.money_machine import STEPS, MoneyMachine

RUNS = 5  # at a time
QUIET: dict[str, Any] = {
    "deadline": None,
    "stateful_step_count": STEPS,
    "suppress_health_check": list(HealthCheck),
    "database": None,
    "derandomize": True,  # the same acts each time, or what they come to by themselves would be left to chance
}
# What a run of that size comes to by itself; a rule that never did anything would prove nothing.
ACTS = """offer, revise, accept, deposit, refund, change, ready, told, invoice, pay, credit, clear, correct, cancel,
storage, write off, hand over, undo deposit, undo payment, undo refund, rates"""
USUAL = {act.strip() for act in ACTS.split(",")}
# Some three to six times in 2,000 steps; what is drawn depends on what else was imported, so two of them may be missed.
SELDOM = {"storage", "offer", "change", "undo payment", "rates"}
# Units, discount, allowance: what lies offered when a run begins, under each of the terms.
NEW = ("Q-5", "Q-6", "Q-7", "Q-8", "Q-9", "Q-10")
OFFERS = ((1, False, 0), (2, True, 0), (1, True, 150), (3, False, 0), (1, False, 299), (1, False, 0))
TERMS = (
    ("never", "spent"),
    ("parts", "spent"),
    ("work", "share"),
    ("parts", "share"),
    ("work", "spent"),
    ("parts", "spent"),
)


@pytest.fixture
def machine(shop: Shop, set_clock, person) -> type[MoneyMachine]:
    set_clock(datetime(2026, 3, 20, 14, tzinfo=UTC))  # late enough in a month for storage to have come up

    boss = person("owner")
    motor = make_part("MOT-1")
    before: Counter[str] = Counter()
    for number, make in (("Q-2", make_ready_kit), ("Q-3", make_invoiced_kit), ("Q-4", make_kit_build)):
        make(boss, number, method="checks")
        before["checks"] += Decimal("465.45")  # type: ignore[assignment]
    Shop.objects.update(storage_fee=Decimal(9))  # printed on what is offered from now on
    home = Shop.objects.get().home_tax_place
    assert home is not None
    included = make_tax_place("port-inside", rates=("0.20",), mode="included", tax_point="payment")
    added = make_tax_place("port-on-top", rates=("0.06", "0.013", "0.0075"), tax_point="payment")
    places = (included, home, added)
    for name, offer, (keep_from, basis), place in zip(NEW, OFFERS, TERMS, 2 * places, strict=True):
        Shop.objects.update(keep_from=keep_from, kept_basis=basis, kept_rate=Decimal("0.25"))
        units, discount, allowance = offer
        version_offer(version=make_draft_kit(name, {motor: units}, discount, allowance, place), person=boss)
    stock_receive(component=motor, quantity=Decimal(9), person=boss)
    for number, place in (("Q-11", included), ("Q-12", added)):  # taxed with their deposits, ready, storage runs
        kit = version_offer(version=make_draft_kit(number, {motor: 1}, False, 0, place), person=boss)
        taken = take(kit, boss, f"till {number}", amount=Decimal(600))
        before["cash"] += Decimal(600)  # type: ignore[assignment]
        build_mark_ready(build=taken.build, person=boss)
        build_tell_ready(build=taken.build, told_on=date(2026, 3, 1), person=boss)

    class Till(MoneyMachine):
        """Starts with offers, a build in line, one that is ready and one that is invoiced."""

        owner, drawer_before, asked, done = boss, before, Counter(), Counter()

    Till.motor, Till.places = motor, places
    return Till


def run(machine: type[MoneyMachine], *, steps: int) -> None:
    """As many runs as it takes, none of them longer than `STEPS`, `RUNS` at a time: some end early."""
    for number in range(steps // RUNS):
        if machine.asked.total() >= steps:
            return
        run_state_machine_as_test(seed(number)(machine), settings=settings(max_examples=RUNS, **QUIET))
    assert machine.asked.total() >= steps


def test_any_sequence_leaves_the_book_whole(machine: type[MoneyMachine]) -> None:
    """2,000 steps: half a minute of one processor."""
    run(machine, steps=2_000)
    missed = USUAL - set(machine.done)
    assert missed <= SELDOM
    assert len(missed) <= 2


@pytest.mark.slow
def test_a_longer_sequence_leaves_the_book_whole(machine: type[MoneyMachine]) -> None:
    """50,000 steps, some ten minutes of one processor; or as many as STEPS says."""
    run(machine, steps=int(os.environ.get("STEPS", "50000")))
    assert set(machine.done) >= USUAL
