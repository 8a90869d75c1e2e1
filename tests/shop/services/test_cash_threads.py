"""Eight tills at the same moment, each with a connection of its own."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from functools import partial

import pytest
from django.db.models import Sum

from shop.models import Build, Component, LedgerEntry, Posting, Quote, QuoteVersion, Sequence, StockMove
from shop.selectors.shop import shop_today
from shop.services.cash import DepositTaken
from shop.services.errors import Refused
from shop.services.quotes import quote_start, version_offer, version_revise
from tests.shop import made_shop
from tests.shop.made_offers import make_kit, make_offered, make_part, price_of, take
from tests.shop.made_parts import receive
from tests.shop.threads import Threads

TILLS = 8
Start = Callable[[], Threads]


@pytest.fixture
def motor(threads: Start, morning: datetime) -> Component:
    made_shop.make_whole_shop()
    return make_part("MOT-1")


def booked() -> tuple[int, int, int, Decimal | None]:
    paid = Posting.objects.filter(credit="deposits").aggregate(paid=Sum("amount"))["paid"]
    return Build.objects.count(), LedgerEntry.objects.count(), StockMove.objects.filter(kind="reserved").count(), paid


def test_eight_presses_of_one_form_open_one_quote(threads: Start, morning: datetime) -> None:
    made_shop.make_whole_shop()
    tills = threads()
    answers = tills.run([partial(quote_start, person=None, key="one form") for _ in range(TILLS)])
    assert {str(answer) for answer in answers} == {"Q-1"}
    numbers = tills.look(lambda: (Quote.objects.count(), Sequence.objects.get(name="quote").next_number))
    assert numbers == (1, 2)


def test_eight_tills_take_one_deposit(threads: Start, morning: datetime, person) -> None:
    version, till = make_offered(made_shop.make_whole_shop()), person("counter")
    tills = threads()
    answers = tills.run([partial(take, version, till, f"till-{number}") for number in range(TILLS)])
    assert sum(isinstance(answer, DepositTaken) for answer in answers) == 1
    refused = [answer for answer in answers if isinstance(answer, Refused)]
    assert len(refused) == TILLS - 1
    assert all("was accepted already: build B-1" in answer.message for answer in refused)
    assert tills.look(booked) == (1, 1, 0, price_of(version).deposit)


def test_eight_presses_of_one_form_take_one_deposit_and_all_show_it(motor: Component, threads: Start, person) -> None:
    version, till = make_kit("Q-1", {motor: 1}), person("counter")
    tills = threads()
    answers = tills.run([partial(take, version, till, "the form's key") for _ in range(TILLS)])
    assert sorted(answer.created for answer in answers) == [False] * (TILLS - 1) + [True]
    assert {answer.entry.receipt for answer in answers} == {"R-1"}
    assert tills.look(booked)[:2] == (1, 1)


def test_the_last_part_is_kept_once_and_numbers_have_no_gap(motor: Component, threads: Start, person) -> None:
    versions = [make_kit(f"Q-{number}", {motor: 1}) for number in range(1, TILLS + 1)]
    till = person("counter")
    receive(motor, 1)
    tills = threads()
    answers = tills.run([partial(take, each, till, f"till-{each.pk}") for each in versions])
    assert all(isinstance(answer, DepositTaken) for answer in answers)

    def look() -> tuple[list[int], list[int], list[str], list[str], int]:
        kept = StockMove.objects.get(kind="reserved")
        assert (kept.reserved, kept.need and kept.need.build.place) == (Decimal(1), 1)
        builds = Build.objects.order_by("place")
        entries = LedgerEntry.objects.order_by("number")
        return (
            [build.place or 0 for build in builds],
            [entry.number for entry in entries],
            sorted(entry.receipt or "" for entry in entries),
            sorted(build.number for build in builds),
            Sequence.objects.get(name="receipt").next_number,
        )

    count = list(range(1, TILLS + 1))
    receipts, numbers = [f"R-{n}" for n in count], [f"B-{n}" for n in count]
    assert tills.look(look) == (count, count, receipts, numbers, TILLS + 1)


def test_a_till_that_fails_leaves_no_gap_between_the_others(motor: Component, threads: Start, person) -> None:
    versions = [make_kit(f"Q-{number}", {motor: 1}) for number in range(1, TILLS + 1)]
    till = person("counter")
    tills = threads()
    answers = tills.run(
        [
            # Every second one asks for more than the whole price: refused late, under the lock.
            partial(take, each, till, f"till-{each.pk}", amount=price_of(each).due + index % 2)
            for index, each in enumerate(versions)
        ]
    )
    assert sum(isinstance(answer, Refused) for answer in answers) == TILLS // 2
    receipts = tills.look(lambda: sorted(LedgerEntry.objects.values_list("receipt", flat=True)))
    assert receipts == ["R-1", "R-2", "R-3", "R-4"]


def test_an_offer_and_a_deposit_at_once_agree_on_one_version(threads: Start, morning: datetime, person) -> None:
    """A newer version is offered while the older is taken: either stands, never half of both."""
    shop = made_shop.make_whole_shop()
    older, owner = make_offered(shop), person("owner")
    newer = version_revise(version=older, person=owner)
    tills = threads()
    offered, taken = tills.run(
        [partial(version_offer, version=newer, person=owner), partial(take, older, owner, "till-1")]
    )
    states = tills.look(lambda: list(QuoteVersion.objects.order_by("number").values_list("state", flat=True)))
    if isinstance(taken, DepositTaken):
        assert isinstance(offered, Refused)
        assert states == ["accepted", "draft"]
    else:
        assert isinstance(taken, Refused)
        assert states == ["replaced", "offered"]
    assert tills.look(shop_today) == morning.date()
