"""The promise log's filters."""

from __future__ import annotations

from django import forms

from shop.forms.lists import FilterForm
from shop.models import PromiseEntry
from shop.selectors.promise_log import CANCELLED, KEPT, MISSED, OPEN, PromiseFilter

SHOWN = (("", "All"), (OPEN, "Being built"), (KEPT, "Kept"), (MISSED, "Missed"), (CANCELLED, "Cancelled"))
KINDS = (
    ("", "All windows"),
    (PromiseEntry.Kind.FIRST, "First windows"),
    (PromiseEntry.Kind.AGREED, "With a change order"),
    (PromiseEntry.Kind.CHANGED, "Changed windows"),
)


class PromiseFilterForm(FilterForm):
    show = forms.ChoiceField(choices=SHOWN, required=False)
    kind = forms.ChoiceField(choices=KINDS, required=False)

    def filters(self) -> PromiseFilter:
        asked = self.read()
        return PromiseFilter(text=self.text, show=asked["show"], kind=asked["kind"], page=asked["page"])
