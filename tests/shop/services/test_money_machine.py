"""Any sequence of what moves money leaves the cash book whole; see tests/shop/money_machine.py."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, settings
from hypothesis.stateful import run_state_machine_as_test

from shop.models import Component, Shop
from tests.shop.made_money import make_invoiced_kit, make_kit_build, make_ready_kit
from tests.shop.made_offers import make_kit, make_part
from tests.shop.money_machine import MoneyMachine

STEPS = 50
QUIET: dict[str, Any] = {
    "deadline": None,
    "stateful_step_count": STEPS,
    "suppress_health_check": list(HealthCheck),
    "database": None,
    "derandomize": True,  # the same acts each time, or what they come to by themselves would be left to chance
}
# What a run of that size comes to by itself; a rule that never did anything would prove nothing.
USUAL = {"offer", "accept", "invoice", "credit", "cancel"}


@pytest.fixture
def machine(shop: Shop, set_clock, person) -> type[MoneyMachine]:
    set_clock(datetime(2026, 3, 20, 14, tzinfo=UTC))  # late enough in a month for storage to have come up

    boss = person("owner")
    make_kit("Q-1", {make_part("MOT-1"): 1})
    before: Counter[str] = Counter()
    for number, make in (("Q-2", make_ready_kit), ("Q-3", make_invoiced_kit), ("Q-4", make_kit_build)):
        make(boss, number, method="checks")
        before["checks"] += Decimal("465.45")  # type: ignore[assignment]

    class Till(MoneyMachine):
        """Starts with an offer, a build in line, one that is ready and one that is invoiced."""

        motor, owner, done, drawer_before = Component.objects.get(code="MOT-1"), boss, Counter(), before

    return Till


def test_any_sequence_leaves_the_book_whole(machine: type[MoneyMachine]) -> None:
    """About 800 steps: twenty seconds of one processor."""
    run_state_machine_as_test(machine, settings=settings(max_examples=16, **QUIET))
    assert set(machine.done) >= USUAL


@pytest.mark.slow
def test_a_longer_sequence_leaves_the_book_whole(machine: type[MoneyMachine]) -> None:
    """Up to 7,500 steps: three minutes of one processor."""
    run_state_machine_as_test(machine, settings=settings(max_examples=150, **QUIET))
    assert set(machine.done) >= USUAL | {"pay", "storage", "write off", "clear", "correct", "hand over"}
