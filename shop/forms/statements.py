"""The day an account is looked at."""

from __future__ import annotations

from datetime import date

from shop.forms.days import DayField
from shop.forms.lists import FilterForm


class DayForm(FilterForm):
    """The end of a day; what cannot be read, or lies ahead, counts as the usual one."""

    at = DayField(required=False)

    def day(self, usual: date) -> date:
        asked = self.read()["at"]
        return min(asked, usual) if asked else usual
