"""The shelf: its filters, counting it, and what comes and goes without an order."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from django import forms

from quoting.parts import KINDS
from shop.forms.days import DayField
from shop.forms.fields import CountField
from shop.forms.keyed import KeyedForm
from shop.forms.lists import FilterForm
from shop.forms.serials import UnitsMixin
from shop.models import Component, PurchaseOrderLine
from shop.selectors.stock import StockFilter

SHOWN = (("", "All"), ("here", "On the shelf"), ("short", "Short"), ("low", "Below least stock"))


class StockFilterForm(FilterForm):
    kind = forms.ChoiceField(choices=[("", "Every kind"), *((kind.code, kind.label) for kind in KINDS.values())],
                             required=False)  # fmt: skip
    show = forms.ChoiceField(choices=SHOWN, required=False)

    def filters(self) -> StockFilter:
        asked = self.read()
        return StockFilter(text=asked["q"], kind=asked["kind"], show=asked["show"], page=asked["page"])


class UnitsForm(UnitsMixin, KeyedForm):
    """A stock form that asks for numbers or a batch where the component's kind has them."""

    must = False
    wording = ""

    def __init__(self, *args: Any, component: Component, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.ask_units(component, must=self.must, wording=self.wording)

    def unit_fields(self) -> list[forms.BoundField]:
        return [self[name] for name in ("serials", "unnumbered", "batch") if name in self.fields]


class CountForm(UnitsForm):
    """What was counted; `seen` is what the books said when the page was opened."""

    wording = "Only when it differs: the numbers that are missing, or those found besides."
    seen = forms.DecimalField(widget=forms.HiddenInput)
    counted = CountField(label="Counted on the shelf", places=3)
    reason = forms.CharField(
        label="Why it differs",
        max_length=200,
        required=False,
        help_text="Needed when the count differs from the books.",
    )

    def __init__(self, *args: Any, component: Component, **kwargs: Any) -> None:
        super().__init__(*args, component=component, **kwargs)
        self.fields.pop("batch", None)  # a count is of the shelf, whatever the batch: the oldest first


class ReceiveForm(UnitsForm):
    """Units that no order brought."""

    must = True
    quantity = CountField(label="How many", places=3, low=Decimal("0.001"))
    reason = forms.CharField(label="Where they come from", max_length=200, required=False)


class ScrapForm(UnitsForm):
    """Units that leave the shelf for good."""

    wording = "Of those that go."
    quantity = CountField(label="How many", places=3, low=Decimal("0.001"))
    reason = forms.CharField(label="What happened", max_length=200)


class SendBackForm(ScrapForm):
    """Units that go back to who sold them; `line` the order's line a replacement is due on."""

    reason = forms.CharField(label="What is wrong", max_length=200)
    line = forms.ChoiceField(
        label="Replacement due on", required=False, help_text="Choose the order when the supplier sends another."
    )

    def __init__(self, *args: Any, lines: Iterable[PurchaseOrderLine], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.lines = {line.public_id: line for line in lines}
        choices = [(key, f"{line.order.number}, {line.order.supplier.name}") for key, line in self.lines.items()]
        self.fields["line"].choices = [("", "None: it is credited"), *choices]  # type: ignore[attr-defined]

    def clean_line(self) -> PurchaseOrderLine | None:
        return self.lines.get(self.cleaned_data["line"])


class DayAskedForm(forms.Form):
    """The day the sums are asked for."""

    on = DayField(required=False)

    def day(self) -> date | None:
        return self.cleaned_data.get("on") if self.is_valid() else None


class LabelsForm(forms.Form):
    """How many of each label."""

    copies_asked = forms.IntegerField(min_value=1, max_value=60, required=False)

    def __init__(self, data: Mapping[str, str]) -> None:
        super().__init__({"copies_asked": data.get("copies", "")})

    def copies(self) -> int:
        """1 when it is not given or can't be read."""
        return (self.cleaned_data.get("copies_asked") if self.is_valid() else None) or 1
