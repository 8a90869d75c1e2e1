"""Purchase orders: made from what is to order, sent, received, put off, cancelled."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from django import forms

from shop.forms.base import ShopForm
from shop.forms.days import DayField
from shop.forms.fields import CountField
from shop.forms.keyed import KeyedForm
from shop.forms.lists import FilterForm
from shop.models import Component, PurchaseOrderLine
from shop.selectors.orders import OrderFilter, OrderLineRow

STATES = (
    ("", "All"),
    ("late", "Late"),
    ("draft", "Drafts"),
    ("sent", "On their way"),
    ("received", "Received"),
    ("cancelled", "Cancelled"),
)
SMALLEST = Decimal("0.001")


def count_field(component: Component, **kwargs: Any) -> CountField:
    """Whole pieces, or meters to a millimeter."""
    return CountField(label=component.name, places=0 if component.unit == "piece" else 3, **kwargs)


class OrderFilterForm(FilterForm):
    state = forms.ChoiceField(choices=STATES, required=False)

    def filters(self) -> OrderFilter:
        asked = self.read()
        return OrderFilter(text=asked["q"], state=asked["state"], page=asked["page"])


class OrderMakeForm(KeyedForm):
    """Parts to order from one supplier, ticked, with a quantity each; why, when a parts deposit is not waited for."""

    reason = forms.CharField(
        label="Why before the parts deposit is paid",
        help_text="What is held is not ticked. The owner may order it all the same and says why.",
        max_length=200,
        required=False,
    )

    def __init__(self, *args: Any, wanted: Iterable[tuple[Component, Decimal | None]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.parts: dict[str, Component] = {}
        for component, quantity in wanted:
            self.parts[f"quantity-{component.public_id}"] = component
            field = count_field(component, low=SMALLEST, initial=quantity)
            field.tell(self.shop)
            self.fields[f"quantity-{component.public_id}"] = field

    def lines(self) -> list[tuple[Component, Decimal]]:
        return [(component, self.cleaned_data[name]) for name, component in self.parts.items()]


class LineForm(ShopForm):
    """Another quantity of one line of a draft; 0 takes it off."""

    quantity = CountField(label="Quantity", places=3)


class SendForm(ShopForm):
    """When a draft was sent, and the days the supplier named."""

    ordered_on = DayField(label="Sent on")

    def __init__(self, *args: Any, lines: Sequence[OrderLineRow], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.names = {f"expected-{row.line.public_id}": row.line.pk for row in lines}
        for row in lines:
            self.fields[f"expected-{row.line.public_id}"] = DayField(label=row.line.component.name, required=False)

    def expected(self) -> Mapping[int, date | None]:
        return {pk: self.cleaned_data[name] for name, pk in self.names.items()}

    def day_fields(self) -> list[forms.BoundField]:
        return [self[name] for name in self.names]


class DatesForm(ShopForm):
    """Lines of an order, and the day the supplier names now."""

    lines = forms.MultipleChoiceField(label="Which parts", widget=forms.CheckboxSelectMultiple)
    new_date = DayField(label="Expected on", required=False)
    no_day = forms.BooleanField(label="The supplier names no day", required=False)

    def __init__(self, *args: Any, lines: Sequence[OrderLineRow], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.rows = {row.line.public_id: row.line for row in lines if row.left}
        self.fields["lines"].choices = [(key, row.component.name) for key, row in self.rows.items()]  # type: ignore[attr-defined]
        self.fields["lines"].error_messages["required"] = "Choose at least one part."

    def clean_lines(self) -> list[PurchaseOrderLine]:
        return [self.rows[key] for key in self.cleaned_data["lines"]]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if "new_date" in data and (data["new_date"] is None) != bool(data.get("no_day")):
            self.add_error("new_date", "Enter the day, or say that the supplier names none: one of the two.")
        return data
