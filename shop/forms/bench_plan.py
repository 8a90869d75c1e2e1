"""The bench plan's filters, as they stand in the address."""

from __future__ import annotations

from django import forms

from shop.forms.days import DayField
from shop.forms.lists import FilterForm
from shop.selectors.bench_plan import BENCHES, FIRST_SPAN, PEOPLE, WEEKS, PlanFilter


class BenchPlanFilterForm(FilterForm):
    by = forms.ChoiceField(choices=[(BENCHES, "Benches"), (PEOPLE, "People")], required=False)
    span = forms.ChoiceField(choices=[(each, each) for each in WEEKS], required=False)
    first = DayField(required=False)

    def filters(self) -> PlanFilter:
        asked = self.read()
        return PlanFilter(by=asked["by"] or BENCHES, span=asked["span"] or FIRST_SPAN, first=asked["first"] or None)
