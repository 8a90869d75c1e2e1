"""Any sequence of receipts, reservations, moves in line, lendings, cancellations and counts leaves the shelf true.

Counts are entered or read from a file; numbers are chosen for builds and put right.

After every act: on hand is the sum of moves and never below zero, reserved never above it; nobody has more kept than it
needs; a numbered unit is in exactly one place, and there are never more of them there than units; without a lending,
nobody further back has a unit kept that somebody ahead lacks.
"""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from decimal import Decimal
from itertools import count

import pytest
from django.contrib.auth.models import User
from django.db import transaction
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test

from shop.models import CLOSED_STATES, Component, Lending, PartNeed, Shop, StockMove, StockUnit
from shop.selectors.balances import issued_by_need, reserved_by_need, stock_balances
from shop.services.builds import build_move, build_take_out
from shop.services.errors import Refused
from shop.services.lending import part_lend
from shop.services.line_lock import line_lock
from shop.services.stock import stock_allot
from shop.services.stock_count import stock_count, stock_receive, stock_scrap, stock_send_back
from shop.services.stock_issue import stock_issue, stock_return
from shop.services.unit_choice import need_units_set
from tests.shop.made_builds import make_day_build, make_need
from tests.shop.made_parts import make_component
from tests.shop.made_tables import count_plan, counted

ZERO = Decimal(0)
SMALL = st.integers(1, 3)
WHICH = st.integers(0, 3)


class Shelf(RuleBasedStateMachine):
    """One motor, up to four builds that need some of it."""

    def __init__(self) -> None:
        super().__init__()
        self.savepoint = transaction.atomic()
        self.savepoint.__enter__()
        self.numbers = count(1)

    def teardown(self) -> None:
        transaction.set_rollback(True)
        self.savepoint.__exit__(None, None, None)

    @initialize(wanted=st.lists(SMALL, min_size=2, max_size=4))
    def a_line(self, wanted: list[int]) -> None:
        self.motor: Component = make_component("MOT-1")
        self.person = User.objects.create_user("counts by file")
        self.needs = [
            make_need(make_day_build(place), self.motor, units) for place, units in enumerate(wanted, start=1)
        ]

    def need(self, which: int) -> PartNeed:
        return PartNeed.objects.select_related("build", "component").get(pk=self.needs[which % len(self.needs)].pk)

    def serials(self, place: str, units: int, need: PartNeed | None = None) -> list[str]:
        rows = StockUnit.objects.filter(component=self.motor, place=place)
        rows = rows.filter(need=need) if need else rows
        return [unit.serial for unit in rows.order_by("pk")[:units]] if rows.count() >= units else []

    @rule(units=SMALL, numbered=st.booleans())
    def receive(self, units: int, numbered: bool) -> None:
        serials = [f"M-{next(self.numbers)}" for _ in range(units)] if numbered else []
        stock_receive(component=self.motor, quantity=Decimal(units), serials=serials, person=None)

    @rule(which=WHICH, units=SMALL)
    def issue(self, which: int, units: int) -> None:
        with suppress(Refused):
            stock_issue(need=self.need(which), quantity=Decimal(units), person=None)

    @rule(which=WHICH, units=SMALL)
    def put_back(self, which: int, units: int) -> None:
        need = self.need(which)
        with suppress(Refused):
            serials = self.serials("build", units, need)
            stock_return(need=need, quantity=Decimal(units), serials=serials, reason="spare", person=None)

    @rule(units=st.integers(0, 6))
    def counted_by_hand(self, units: int) -> None:
        balance = stock_balances().get(self.motor.pk)
        missing = int(balance.on_hand) - units if balance else 0
        serials = self.serials("shelf", missing) if missing > 0 else []
        with suppress(Refused):
            stock_count(component=self.motor, counted=Decimal(units), serials=serials, reason="count", person=None)

    @rule(seen=st.integers(0, 4), new=st.integers(0, 2), bare=st.integers(0, 2))
    def counted_by_file(self, seen: int, new: int, bare: int) -> None:
        """Some of the numbers there, some nobody knew, and some units without one."""
        serials = [unit.serial for unit in StockUnit.objects.filter(place="shelf").order_by("-pk")[:seen]]
        serials += [f"F-{next(self.numbers)}" for _ in range(new)]
        rows = ("code,counted,serials,reason", f"MOT-1,{len(serials) + bare},{';'.join(serials)},{next(self.numbers)}")
        with suppress(Refused):
            counted(self.person, *rows)
            assert not count_plan(*rows).changes  # as it was counted, so it lies there
            named = set(StockUnit.objects.filter(place="shelf").values_list("serial", flat=True))
            assert not serials or named == set(serials)

    @rule(which=WHICH, units=SMALL)
    def chosen(self, which: int, units: int) -> None:
        """Numbers on the shelf meant for a build, or put right after they were issued."""
        with suppress(Refused):
            need_units_set(need=self.need(which), serials=self.serials("shelf", units), person=None)

    @rule(units=SMALL, back=st.booleans())
    def leaves(self, units: int, back: bool) -> None:
        act = stock_send_back if back else stock_scrap
        with suppress(Refused):
            serials = self.serials("shelf", units)
            act(component=self.motor, quantity=Decimal(units), serials=serials, reason="bad", person=None)

    @rule(which=WHICH, place=st.integers(1, 4))
    def moved(self, which: int, place: int) -> None:
        with suppress(Refused):
            build_move(build=self.need(which).build, place=place, reason="asked", person=None)

    @rule(which=WHICH)
    def cancelled(self, which: int) -> None:
        with suppress(Refused), line_lock():
            build_take_out(build=self.need(which).build, reason="sold the bike", person=None)

    @rule(lender=WHICH, borrower=WHICH)
    def lent(self, lender: int, borrower: int) -> None:
        with suppress(Refused):
            part_lend(
                lender=self.need(lender), borrower=self.need(borrower), quantity=Decimal(1), reason="sooner",
                override="agreed", person=None, key=f"k{next(self.numbers)}",
            )  # fmt: skip

    @invariant()
    def the_shelf_is_true(self) -> None:
        if not hasattr(self, "motor"):
            return
        moves = StockMove.objects.filter(component=self.motor)
        on_hand = sum((move.on_hand for move in moves), ZERO)
        reserved = sum((move.reserved for move in moves), ZERO)
        balance = stock_balances().get(self.motor.pk)
        assert (on_hand, reserved) == ((balance.on_hand, balance.reserved) if balance else (ZERO, ZERO))
        assert ZERO <= reserved <= on_hand
        kept, issued = reserved_by_need(), issued_by_need()
        assert sum(kept.values(), ZERO) == reserved  # every unit kept is kept for one need
        needs = list(PartNeed.objects.select_related("build").order_by("build__place", "pk"))
        for need in needs:
            has = kept.get(need.pk, ZERO) + issued.get(need.pk, ZERO)
            assert kept.get(need.pk, ZERO) >= ZERO
            assert has <= need.quantity
            assert StockUnit.objects.filter(need=need, place="build").count() <= issued.get(need.pk, ZERO)
            # a unit on the shelf is chosen for one build at most, and for no more than are kept for it
            assert StockUnit.objects.filter(need=need, place="shelf").count() <= kept.get(need.pk, ZERO)
            if need.build.state in CLOSED_STATES:
                assert not kept.get(need.pk)
        assert StockUnit.objects.filter(component=self.motor, place="shelf").count() <= on_hand
        serials = list(StockUnit.objects.values_list("serial", flat=True))
        assert len(serials) == len(set(serials))
        if not Lending.objects.exists():
            self.nobody_is_passed_over(needs, kept, issued)

    def nobody_is_passed_over(
        self, needs: list[PartNeed], kept: Mapping[int, Decimal], issued: Mapping[int, Decimal]
    ) -> None:
        lacking = False
        for need in (row for row in needs if row.build.is_open):
            assert not (lacking and kept.get(need.pk))
            lacking = lacking or kept.get(need.pk, ZERO) + issued.get(need.pk, ZERO) < need.quantity

    @rule()
    def allotted_again(self) -> None:
        """What is true stays: a second look at the shelf changes nothing."""
        with line_lock():
            assert stock_allot(person=None) == []


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("examples", "steps"), [(15, 14), pytest.param(120, 30, marks=pytest.mark.slow)], ids=["lean", "long"]
)
def test_any_sequence_leaves_the_shelf_true(shop: Shop, morning: object, examples: int, steps: int) -> None:
    wanted = settings(
        max_examples=examples,
        stateful_step_count=steps,
        deadline=None,
        suppress_health_check=list(HealthCheck),
    )
    run_state_machine_as_test(Shelf, settings=wanted)
