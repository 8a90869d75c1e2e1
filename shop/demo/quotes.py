"""Quotes as they came about: started, built up, offered, revised, declined, lapsed, and deposits taken."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import ROUND_CEILING, Decimal
from functools import partial
from typing import Any

from django.contrib.auth.models import User

from quoting import quote
from shop.demo.clock import Act, Clock
from shop.demo.combos import Combos
from shop.demo.files import toml
from shop.models import Build, Customer, Donor, Job, Quote, QuoteOption, QuoteVersion, TaxPlace
from shop.selectors.findings import checks_by_rule
from shop.selectors.quotes import worked_out
from shop.selectors.requests import quote_request
from shop.services.cash import deposit_take
from shop.services.quotes import (
    decision_write,
    option_add,
    option_remove,
    quote_set_tax_place,
    quote_set_wishes,
    quote_start,
    version_decline,
    version_offer,
    version_revise,
    versions_lapse,
)

STARTS, OFFERS, ANSWERS, LAPSES = 10, 20, 30, 5  # ranks: what comes first on one day
ROUND_TO = Decimal(50)  # deposits are agreed in round figures


@dataclass
class QuoteDesk:
    """The acts of the quotes file. `builds` are those that deposits made, by donor key; `draw` simulates the shop."""

    clock: Clock
    customers: dict[str, Customer]
    donors: dict[str, Donor]
    counter: User
    combos: Combos
    draw: Callable[[], object]
    builds: dict[str, Build] = field(default_factory=dict)
    _quotes: dict[int, Quote] = field(default_factory=dict)

    def acts(self) -> list[Act]:
        """Every act of every quote, and the nightly lapse."""
        entries = toml("quotes.toml")["quotes"]
        acts = []
        for index, entry in enumerate(entries):
            acts += self._acts_of(index, entry, entry.get("reasons", {}))
        first = min(entry["start"] for entry in entries)
        return acts + [Act(away, LAPSES, partial(self._lapse, away)) for away in range(first, 0)]

    def _lapse(self, away: int) -> None:
        versions_lapse(self.clock.workday(away))

    def _acts_of(self, index: int, entry: dict[str, Any], reasons: dict[str, str]) -> list[Act]:
        acts = [Act(entry["start"], STARTS, partial(self._start, index, entry))]
        if "offer" in entry:
            acts.append(Act(entry["offer"], OFFERS, partial(self._offer, index, reasons)))
        if revised := entry.get("revise"):
            acts.append(Act(revised["start"], STARTS, partial(self._revise, index, revised)))
            acts.append(Act(revised["offer"], OFFERS, partial(self._offer, index, reasons)))
        if declined := entry.get("decline"):
            acts.append(Act(declined["day"], ANSWERS, partial(self._decline, index, declined["reason"])))
        if deposit := entry.get("deposit"):
            acts.append(Act(deposit["day"], ANSWERS, partial(self._deposit, index, entry, deposit)))
        return acts

    def _start(self, index: int, entry: dict[str, Any]) -> None:
        customer, donor = entry.get("customer"), entry.get("donor")
        quote = quote_start(
            person=self.counter,
            job=entry.get("job", Job.CONVERSION),
            customer=self.customers[customer] if customer else None,
            donor=self.donors[donor] if donor else None,
        )
        self._quotes[index] = quote
        version = self._newest(index)
        if place := entry.get("tax_place"):
            quote_set_tax_place(version=version, tax_place=TaxPlace.objects.get(code=place), person=self.counter)
        if wishes := entry.get("wishes"):
            budget = {"budget": Decimal(wishes["budget"])} if "budget" in wishes else {}
            quote_set_wishes(version=version, person=self.counter, **{**wishes, **budget})
        self._fill(version, entry["options"])

    def _fill(self, version: QuoteVersion, names: list[str]) -> None:
        for place, name in enumerate(names):
            first = version.options.order_by("key").first() if place == 0 else None
            self.combos.put_on(first or option_add(version=version, person=self.counter), name, self.counter)

    def _revise(self, index: int, revised: dict[str, Any]) -> None:
        version = version_revise(version=self._newest(index), person=self.counter)
        for name in revised["options"]:
            self.combos.put_on(option_add(version=version, person=self.counter), name, self.counter)
        option_remove(option=version.options.get(key="A"), person=self.counter)

    def _offer(self, index: int, reasons: dict[str, str]) -> None:
        version = self._newest(index)
        if reasons:
            self._decide(version, reasons)
        version_offer(version=version, person=self.counter)

    def _decide(self, version: QuoteVersion, reasons: dict[str, str]) -> None:
        """A reason at every check, as the file gives it."""
        for option in quote(quote_request(version, with_catalogue=False)).options:
            row = QuoteOption.objects.get(version=version, key=option.key)
            for rule in checks_by_rule(option):
                decision_write(option=row, rule=rule, reason=reasons[rule], person=self.counter)

    def _decline(self, index: int, reason: str) -> None:
        version_decline(version=self._newest(index), person=self.counter, reason=reason)

    def _deposit(self, index: int, entry: dict[str, Any], deposit: dict[str, str]) -> None:
        version = self._newest(index)
        price = next(option.price for option in worked_out(version).options if option.key == deposit["option"])
        self.draw()
        amount = min((price.deposit / ROUND_TO).to_integral_value(ROUND_CEILING) * ROUND_TO, price.due)
        taken = deposit_take(
            version=version,
            option_key=deposit["option"],
            amount=amount,
            method=deposit["method"],
            reference=deposit.get("reference", ""),
            person=self.counter,
            key=f"demo-deposit-{index}",
        )
        self.builds[entry["donor"]] = taken.build

    def _newest(self, index: int) -> QuoteVersion:
        version = self._quotes[index].versions.order_by("-number").first()
        if version is None:
            raise LookupError(f"quote {index} has no version")
        return version
