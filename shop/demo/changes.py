"""Change orders to running builds: begun, changed at the counter, offered, and agreed to."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from functools import partial
from typing import Any

from django.contrib.auth.models import User

from quoting import quote
from shop.demo.clock import Act, Clock
from shop.demo.combos import Combos
from shop.demo.files import toml
from shop.models import Build, ChangeOrder, QuoteOption
from shop.selectors.findings import undecided
from shop.selectors.requests import quote_request
from shop.services.change_accept import Agreement, change_accept
from shop.services.change_orders import change_start
from shop.services.quotes import decision_write, extra_add, part_add, part_remove, version_offer

BEGINS, OFFERS, AGREES = 82, 84, 86  # after all else of the day
UNTOUCHED = "As decided before; the change order does not touch it"


@dataclass
class ChangeDesk:
    """The acts of the changes file. `builds` by donor key, filled as deposits are taken."""

    clock: Clock
    builds: dict[str, Build]
    owner: User
    combos: Combos
    _changes: dict[str, ChangeOrder] = field(default_factory=dict)

    def acts(self) -> list[Act]:
        acts = []
        for entry in toml("changes.toml")["changes"]:
            acts.append(Act(entry["start"], BEGINS, partial(self._begin, entry)))
            acts.append(Act(entry["offer"], OFFERS, partial(self._offer, entry["donor"])))
            if agreed := entry.get("agreed"):
                acts.append(Act(agreed["day"], AGREES, partial(self._agree, entry["donor"], agreed)))
        return acts

    def _begin(self, entry: dict[str, Any]) -> None:
        change = change_start(build=self.builds[entry["donor"]], reason=entry["reason"], person=self.owner)
        option = QuoteOption.objects.get(version=change.version)
        for code in entry["off"]:
            part_remove(part=option.parts.get(component__code=code), person=self.owner)
        for code in entry["on"]:
            part_add(option=option, component=self.combos.components[code], person=self.owner, quantity=Decimal(1))
        for extra in entry["extras"]:
            money = {name: Decimal(extra[name]) for name in ("amount", "cost")}
            extra_add(option=option, person=self.owner, **{**extra, **money})
        self._changes[entry["donor"]] = change

    def _offer(self, donor: str) -> None:
        version = self._changes[donor].version
        (worked,) = quote(quote_request(version, with_catalogue=False)).options
        option = QuoteOption.objects.get(version=version)
        for rule in {finding.rule for finding in undecided(worked, option.decisions.all())}:
            decision_write(option=option, rule=rule, reason=UNTOUCHED, person=self.owner)
        version_offer(version=version, person=self.owner)

    def _agree(self, donor: str, agreed: dict[str, Any]) -> None:
        agreement = Agreement(by=agreed["by"], how=agreed["how"], on=self.clock.workday(agreed["day"]))
        change_accept(change=self._changes[donor], agreement=agreement, person=self.owner, allow_less=True)
