"""What came of an order, line by line: counted, numbered, priced; and what came that nobody ordered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django import forms

from shop.forms.base import ShopForm
from shop.forms.days import DayField
from shop.forms.fields import AmountField, CountField
from shop.forms.keyed import KeyedForm
from shop.forms.orders import SMALLEST, count_field
from shop.forms.serials import SerialsField, batch_field, takes_batch, takes_serials
from shop.models import Component, PurchaseOrderLine
from shop.selectors.orders import OrderLineRow
from shop.services.orders_receive import Goods


@dataclass(frozen=True)
class GoodsRow:
    """A line with its fields; None for those its kind does not have."""

    row: OrderLineRow
    came: forms.BoundField
    cost: forms.BoundField
    serials: forms.BoundField | None
    batch: forms.BoundField | None


class GoodsForm(KeyedForm):
    """How many came of each line, their numbers, and what was charged for one when that differs."""

    over_reason = forms.CharField(
        label="Why more is kept than was ordered",
        max_length=200,
        required=False,
        help_text="Only when more came. Otherwise send the rest back.",
    )
    unnumbered = forms.BooleanField(label="Units without a number are numbered later", required=False)

    def __init__(self, *args: Any, lines: Sequence[OrderLineRow], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.rows = {row.line.public_id: row for row in lines}
        for key, row in self.rows.items():
            component = row.line.component
            self._add(f"came-{key}", count_field(component, required=False, initial=row.left))
            charged = AmountField(label=f"Charged for one {component.name}", required=False)
            self._add(f"cost-{key}", charged)
            charged.currency = row.line.order.supplier.currency
            charged.unit, charged.unit_first = charged.currency, False
            if takes_serials(component):
                self._add(f"serials-{key}", SerialsField(label=f"Serial numbers of {component.name}"))
            if takes_batch(component):
                self._add(f"batch-{key}", batch_field(label=f"Batch of {component.name}"))
        if not any(takes_serials(row.line.component) for row in lines):
            del self.fields["unnumbered"]

    def _add(self, name: str, field: forms.Field) -> None:
        tell = getattr(field, "tell", None)
        if tell is not None:
            tell(self.shop)
        self.fields[name] = field

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        for key in self.rows:
            name = f"serials-{key}"
            if name in self.fields and data.get(f"came-{key}") and not data.get(name) and not data.get("unnumbered"):
                self.add_error(name, "Enter a number for each unit, or say below that they are numbered later.")
        return data

    def received(self) -> dict[PurchaseOrderLine, Goods]:
        data = self.cleaned_data
        return {
            row.line: Goods(
                quantity=data[f"came-{key}"],
                serials=data.get(f"serials-{key}", ()),
                batch=data.get(f"batch-{key}", ""),
                unit_cost=data[f"cost-{key}"],
            )
            for key, row in self.rows.items()
            if data[f"came-{key}"]
        }

    def drawn(self) -> list[GoodsRow]:
        return [
            GoodsRow(
                row, self[f"came-{key}"], self[f"cost-{key}"], self._bound("serials", key), self._bound("batch", key)
            )
            for key, row in self.rows.items()
        ]

    def _bound(self, what: str, key: str) -> forms.BoundField | None:
        name = f"{what}-{key}"
        return self[name] if name in self.fields else None


class WrongGoodsForm(KeyedForm):
    """Something came that was not ordered."""

    component = forms.ModelChoiceField(label="What came", queryset=Component.objects.none(), to_field_name="public_id")
    quantity = CountField(label="How many", places=3, low=SMALLEST)
    kept = forms.ChoiceField(
        label="What happens with it",
        choices=[("no", "It goes back"), ("yes", "It is kept, on the shelf")],
        widget=forms.RadioSelect,
        initial="no",
    )
    note = forms.CharField(label="Instead of what, and what the supplier says", max_length=160)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["component"].queryset = Component.objects.order_by("name", "pk")  # type: ignore[attr-defined]

    def clean_kept(self) -> bool:
        return bool(self.cleaned_data["kept"] == "yes")


class ConfirmForm(ShopForm):
    """The supplier's confirmation: a day for each line it named; a line without a day and a tick stays as it is."""

    on = DayField(label="Confirmed on")
    note = forms.CharField(label="Reference", max_length=160, required=False, help_text="The supplier's own number.")

    def __init__(self, *args: Any, lines: Sequence[OrderLineRow], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.names = {row.line.public_id: row for row in lines if row.left}
        for key, row in self.names.items():
            name = row.line.component.name
            self.fields[f"line-{key}"] = forms.BooleanField(label=f"{name} is confirmed", required=False, initial=True)
            self.fields[f"day-{key}"] = DayField(
                label=f"{name}: expected", required=False, initial=row.line.expected_on
            )

    def days(self) -> Mapping[int, date | None]:
        data = self.cleaned_data
        return {row.line.pk: data[f"day-{key}"] for key, row in self.names.items() if data[f"line-{key}"]}

    def drawn(self) -> list[tuple[OrderLineRow, forms.BoundField, forms.BoundField]]:
        return [(row, self[f"line-{key}"], self[f"day-{key}"]) for key, row in self.names.items()]


class LineCancelForm(ShopForm):
    """Units of a line that will not come."""

    quantity = CountField(label="How many will not come", places=3, low=SMALLEST)
    reason = forms.CharField(label="Why", max_length=160)

    def __init__(self, *args: Any, left: Decimal, **kwargs: Any) -> None:
        super().__init__(*args, **{"initial": {"quantity": left}, **kwargs})
