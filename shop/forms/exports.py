"""The period of an export."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from shop.forms.base import ShopForm
from shop.forms.days import DayField


class PeriodForm(ShopForm):
    """From one day to another, both included."""

    first = DayField(label="From")
    last = DayField(label="To")

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if data.get("first") and data.get("last") and data["last"] < data["first"]:
            self.add_error("last", "The period ends before it begins.")
        return data


def periods(today: date) -> tuple[tuple[str, date, date], ...]:
    """Periods people ask for, by their words: this month and the last, the quarters, the years."""
    month = today.replace(day=1)
    before = (month - timedelta(days=1)).replace(day=1)
    quarter = month.replace(month=3 * ((month.month - 1) // 3) + 1)
    last_quarter = (quarter - timedelta(days=1)).replace(day=1)
    last_quarter = last_quarter.replace(month=last_quarter.month - 2)
    year = month.replace(month=1)
    return (
        ("This month", month, today),
        ("Last month", before, month - timedelta(days=1)),
        ("Last quarter", last_quarter, quarter - timedelta(days=1)),
        ("This year", year, today),
        ("Last year", year.replace(year=year.year - 1), year - timedelta(days=1)),
    )
