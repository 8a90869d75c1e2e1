"""Purchase orders of what Stores says is to buy: sent, received, and some of them late."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from functools import partial
from itertools import cycle
from typing import Any

from django.contrib.auth.models import User

from shop.demo.catalogue import new_serials
from shop.demo.clock import Act, Clock
from shop.demo.files import toml
from shop.models import Component, Offer, PurchaseOrder, Supplier
from shop.selectors.offers import order_quantity
from shop.selectors.stock import Stores, lines_due
from shop.services.orders import order_make, order_send
from shop.services.orders_receive import Goods, expected_change, order_receive

RECEIVES, BUYS, SLIPS = 2, 40, 45
EARLY = -3  # days; more than a weekend, so that nothing falls due unseen just before the load day


@dataclass
class Buying:
    """The acts of the orders file."""

    clock: Clock
    owner: User
    found: dict[str, Any] = field(default_factory=partial(toml, "orders.toml"))
    _comes_late: dict[int, int] = field(default_factory=dict)
    _waits: set[int] = field(default_factory=set)
    _next: date | None = None

    def acts(self) -> list[Act]:
        """Buying on some days, looking for deliveries on every day, slips when suppliers write."""
        self._delays = cycle(self.found["delays"])
        days = self.found["buying"]
        acts = [Act(away, BUYS, partial(self._buy, away)) for away in days]
        acts += [Act(away, RECEIVES, partial(self._receive, away)) for away in range(min(days), 0)]
        for late in self.found["overdue"]:
            acts += [Act(slip["day"], SLIPS, partial(self._slips, late, slip)) for slip in late.get("slips", [])]
        return acts

    def _buy(self, away: int) -> None:
        """One order per supplier of what Stores says is to buy."""
        stores = Stores()
        wanted: dict[Supplier, list[tuple[Component, Decimal]]] = {}
        for offer in Offer.objects.filter(preferred=True).select_related("component", "supplier").order_by("pk"):
            to_buy = stores.row(offer.component).to_buy
            if to_buy and not offer.component.discontinued:
                wanted.setdefault(offer.supplier, []).append((offer.component, order_quantity(offer, to_buy)))
        for supplier, lines in sorted(wanted.items(), key=lambda item: item[0].code):
            order = order_make(supplier=supplier, lines=lines, person=self.owner)
            order_send(order=order, person=self.owner)
            self._expect(order, away)
        self._next = None

    def _expect(self, order: PurchaseOrder, away: int) -> None:
        """When its lines really come: late by its turn, or not at all."""
        prompt = away >= self.found["prompt_after"]
        self._comes_late[order.pk] = EARLY if prompt else next(self._delays)
        for late in self.found["overdue"]:
            if late["supplier"] == order.supplier.code and away >= late["after"]:
                lines = order.lines.filter(component__code__in=late["parts"])
                self._waits.update(lines.values_list("pk", flat=True))

    def _receive(self, away: int) -> None:
        """What comes today, line by line as each was expected."""
        today = self.clock.workday(away)
        if self._next is not None and today < self._next:
            return
        came: dict[PurchaseOrder, dict[Any, Decimal]] = {}
        days = []
        for due in lines_due():
            order = due.line.order
            if due.line.pk in self._waits or due.line.expected_on is None:
                continue
            comes = due.line.expected_on + timedelta(days=self._comes_late[order.pk])
            if comes <= today:
                came.setdefault(order, {})[due.line] = due.left
            else:
                days.append(comes)
        self._next = min(days, default=None)
        for order, lines in came.items():
            goods = {
                line: Goods(quantity=units, serials=new_serials(line.component, units)) for line, units in lines.items()
            }
            order_receive(order=order, received=goods, person=self.owner, key=f"demo-{order.number}-{away}")

    def _slips(self, late: dict[str, Any], slip: dict[str, Any]) -> None:
        waiting = [due.line for due in lines_due() if due.line.pk in self._waits]
        expected_change(
            lines=[line for line in waiting if line.component.code in late["parts"]],
            new_date=self.clock.day(slip["to"]),
            reason=slip["reason"],
            person=self.owner,
        )
