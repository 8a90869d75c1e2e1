"""Sound builds put on an option, part by part, as the counter would."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.contrib.auth.models import User

from shop.demo.files import toml
from shop.models import Component, QuoteOption
from shop.services.quotes import option_change, pack_plan_set, part_add


class Combos:
    """The builds of builds.toml, and the catalogue they are taken from. Made when the catalogue is loaded."""

    def __init__(self) -> None:
        found = toml("builds.toml")
        self.common: list[str] = found["common"]["parts"]
        self.builds: dict[str, dict[str, Any]] = found["builds"]
        self.components = {component.code: component for component in Component.objects.all()}

    def lines(self, name: str) -> dict[str, Decimal]:
        """Component codes of a build with their quantities."""
        build = self.builds[name]
        once = {code: Decimal(1) for code in [*build["parts"], *self.common]}
        return once | {code: Decimal(count) for code, count in build["counts"].items()}

    def put_on(self, option: QuoteOption, name: str, person: User) -> None:
        """Its name, its pack plan, its parts."""
        build = self.builds[name]
        option_change(option=option, person=person, label=build["label"])
        if "series" in build:
            pack_plan_set(
                option=option,
                person=person,
                series=build["series"],
                parallel=build["parallel"],
                link_mohm=build["link_mohm"],
                bay_names=build["bays"],
            )
            option.refresh_from_db()
        for code, quantity in self.lines(name).items():
            part_add(option=option, component=self.components[code], person=person, quantity=quantity)
