"""Suppliers: closed weeks, price breaks; the least stock taken over from a suggestion."""

from __future__ import annotations

from decimal import Decimal

from django import forms
from django.core.exceptions import ValidationError

from shop.forms.base import ShopForm
from shop.forms.days import DayField
from shop.forms.fields import CountField, read_number


class ClosureForm(ShopForm):
    """Days on which nothing is shipped."""

    first = DayField(label="First day")
    last = DayField(label="Last day")


class BreaksForm(ShopForm):
    """One line for each break: from how many, at which price."""

    breaks = forms.CharField(
        label="Price breaks",
        required=False,
        widget=forms.Textarea(attrs={"rows": 5, "autocomplete": "off"}),
        help_text="One a line, the quantity it begins at and the price of one: 10: 680.50",
    )

    def clean_breaks(self) -> list[tuple[Decimal, Decimal]]:
        found = []
        for number, text in enumerate(self.cleaned_data["breaks"].splitlines(), start=1):
            if not text.strip():
                continue
            quantity, colon, cost = text.partition(":")
            if not colon:
                raise ValidationError(f"Line {number} has no colon. Write it like 10: 680.50.")
            pair = tuple(read_number(part.strip(), self.shop.locale, Decimal("680.5")) for part in (quantity, cost))
            if pair[0] <= 0 or pair[1] < 0 or pair[0] != round(pair[0], 3) or pair[1] != round(pair[1], 4):
                raise ValidationError(f"Line {number}: write a quantity above zero and a price of zero or more.")
            found.append((pair[0], pair[1]))
        return found


class LeastForm(ShopForm):
    """The least stock to keep."""

    quantity = CountField(places=3)
