"""The cash book's filters."""

from __future__ import annotations

from datetime import date

from django import forms

from shop.forms.days import DayField
from shop.forms.lists import FilterForm
from shop.models import EntryKind
from shop.selectors.cash import month_of
from shop.selectors.cash_list import CashFilter

KINDS = (("", "Everything"), *EntryKind.choices)


class CashFilterForm(FilterForm):
    """A period, this month unless told; days the wrong way round are turned."""

    first = DayField(required=False)
    last = DayField(required=False)
    kind = forms.ChoiceField(choices=KINDS, required=False)

    def filters(self, today: date) -> CashFilter:
        asked = self.read()
        usual = month_of(asked["first"] or asked["last"] or today)
        first, last = asked["first"] or usual[0], asked["last"] or usual[1]
        return CashFilter(
            first=min(first, last), last=max(first, last), kind=asked["kind"], text=asked["q"], page=asked["page"]
        )
