"""The shelf: its filters, counting it, and what comes and goes without an order."""

from __future__ import annotations

from decimal import Decimal

from django import forms

from quoting.parts import KINDS
from shop.forms.fields import CountField
from shop.forms.keyed import KeyedForm
from shop.forms.lists import FilterForm
from shop.selectors.stock import StockFilter

SHOWN = (("", "All"), ("here", "On the shelf"), ("short", "Short"), ("low", "Below least stock"))


class StockFilterForm(FilterForm):
    kind = forms.ChoiceField(choices=[("", "Every kind"), *((kind.code, kind.label) for kind in KINDS.values())],
                             required=False)  # fmt: skip
    show = forms.ChoiceField(choices=SHOWN, required=False)

    def filters(self) -> StockFilter:
        asked = self.read()
        return StockFilter(text=asked["q"], kind=asked["kind"], show=asked["show"], page=asked["page"])


class CountForm(KeyedForm):
    """What was counted; `seen` is what the books said when the page was opened."""

    seen = forms.DecimalField(widget=forms.HiddenInput)
    counted = CountField(label="Counted on the shelf", places=3)
    reason = forms.CharField(
        label="Why it differs",
        max_length=200,
        required=False,
        help_text="Needed when the count differs from the books.",
    )


class ReceiveForm(KeyedForm):
    """Units that no order brought."""

    quantity = CountField(label="How many", places=3, low=Decimal("0.001"))
    reason = forms.CharField(label="Where they come from", max_length=200, required=False)


class ScrapForm(KeyedForm):
    """Units that leave the shelf for good."""

    quantity = CountField(label="How many", places=3, low=Decimal("0.001"))
    reason = forms.CharField(label="What happened", max_length=200)
