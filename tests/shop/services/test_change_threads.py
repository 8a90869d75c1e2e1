"""Tills at the same moment, each with a connection of its own, and one change order."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from functools import partial
from typing import Any

from shop.models import Build, ChangeOrder, Event, LedgerEntry, PromiseEntry
from shop.services.change_accept import FurtherDeposit
from shop.services.quotes import extra_add
from tests.shop import made_shop
from tests.shop.made_changes import accept, begin, make_running, offer
from tests.shop.threads import Threads

TILLS = 6


def test_six_tills_accept_one_change_and_take_one_deposit(
    threads: Callable[[], Threads], morning: datetime, person
) -> None:
    till = person("counter")
    build = make_running(made_shop.make_whole_shop(), till)
    change, option = begin(build, till)
    fee: dict[str, Any] = {"kind": "fee", "label": "Paint", "amount": Decimal(400), "cost": None, "tax_class": "fee"}
    extra_add(option=option, person=till, **fee)
    offered = offer(change)
    tills = threads()
    answers = tills.run(
        [
            partial(
                accept, offered, till, deposit=FurtherDeposit(amount=Decimal(50), method="cash", key=f"change-{number}")
            )
            for number in range(TILLS)
        ]
    )
    assert sum(getattr(answer, "entry", None) is not None for answer in answers) == 1
    assert not [answer for answer in answers if isinstance(answer, Exception)]

    def booked() -> tuple[object, ...]:
        made = Build.objects.get()
        return (
            made.total - build.total,
            made.version_id == offered.version_id,
            ChangeOrder.objects.get().accepted_at is not None,
            LedgerEntry.objects.count(),
            Event.objects.filter(verb="change order accepted").count(),
            PromiseEntry.objects.filter(kind="changed").count(),
        )

    assert tills.look(booked) == (Decimal(400), True, True, 2, 1, 0)
