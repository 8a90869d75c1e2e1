"""The What-if page's changes, as they stand in the address, and the reason they are applied with."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from django import forms

from shop.forms.base import ShopForm
from shop.forms.days import DayField
from shop.forms.fields import HoursField, WholeField
from shop.forms.line import ReasonForm
from shop.models import CLOSED_STATES, Bench, BenchType, Build, OrderState, Person, PurchaseOrder, Supplier
from shop.selectors.what_if import Chosen, Span, later_by, lines_due

LATEST_DAYS = Decimal(365)  # our own choice: a year is past any promise
MOST_OVERTIME = Decimal(6)  # h a day, our own choice: more is another shift


if TYPE_CHECKING:
    Rows = forms.ModelChoiceField[Any]
else:
    Rows = forms.ModelChoiceField  # generic for the type checker only


class OrderChoice(Rows):
    def label_from_instance(self, obj: Any) -> str:
        return f"{obj.number}, {obj.supplier.name}"


class BuildChoice(Rows):
    def label_from_instance(self, obj: Any) -> str:
        return f"{obj.place}: {obj.number}, {obj.customer.name}"


def choice(kind: type[Rows], rows: Any, label: str, by: str = "public_id") -> Rows:
    return kind(
        queryset=rows,
        label=label,
        to_field_name=by,
        required=False,
        empty_label="as it is",
        error_messages={"invalid_choice": "That is no longer here. Choose another."},
    )


class WhatIfForm(ShopForm):
    """One of each kind of change; together they are tried as one."""

    order = choice(OrderChoice, PurchaseOrder.objects.none(), "Order on its way")
    supplier = choice(Rows, Supplier.objects.none(), "or all that is on its way from")
    late_days = WholeField(label="Later by", low=Decimal(1), high=LATEST_DAYS, required=False)
    new_date = DayField(label="or expected on", required=False)
    bench = choice(Rows, Bench.objects.none(), "Bench down")
    bench_first = DayField(label="From", required=False)
    bench_last = DayField(label="To", required=False)
    person = choice(Rows, Person.objects.none(), "Person away")
    person_first = DayField(label="From", required=False)
    person_last = DayField(label="To", required=False)
    build = choice(BuildChoice, Build.objects.none(), "Build to another place")
    place = WholeField(label="Place", low=Decimal(1), required=False)
    bench_type = choice(Rows, BenchType.objects.none(), "One more bench for", by="code")
    overtime_h = HoursField(label="Open longer by", low=Decimal("0.25"), high=MOST_OVERTIME, required=False)

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        rows = {
            "order": PurchaseOrder.objects.filter(state=OrderState.SENT).select_related("supplier").order_by("number"),
            "supplier": Supplier.objects.filter(orders__state=OrderState.SENT).distinct().order_by("name"),
            "bench": Bench.objects.filter(active=True),
            "person": Person.objects.filter(active=True),
            "build": Build.objects.exclude(state__in=CLOSED_STATES).select_related("customer").order_by("place"),
            "bench_type": BenchType.objects.filter(benches__active=True).distinct(),
        }
        for name, found in rows.items():
            self.fields[name].queryset = found  # type: ignore[attr-defined]
        self.fields["late_days"].unit = "days"  # type: ignore[attr-defined]
        self.fields["overtime_h"].unit = "h"  # type: ignore[attr-defined]
        self.fields["overtime_h"].help_text = "On each open day from now on."
        self.fields["late_days"].help_text = "After the expected day, or after today when that has passed."

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        self._order_days(data)
        for name, what in (("bench", "it is down"), ("person", "they are away")):
            self._span(data, name, what)
        self._place(data)
        known = ("order", "supplier", "bench", "person", "build", "bench_type", "overtime_h")
        if not self.errors and not any(data.get(name) for name in known):
            raise forms.ValidationError("Choose at least one thing that would be otherwise.")
        return data

    def _order_days(self, data: dict[str, Any]) -> None:
        order, supplier = data.get("order"), data.get("supplier")
        late, day = data.get("late_days"), data.get("new_date")
        if order is None and supplier is None:
            if late or day:
                self._lacks("order", "Choose the order that comes on another day, or the supplier.")
            return
        if order is not None and supplier is not None:
            return self._lacks("supplier", "Choose one order or all of a supplier's, not both.")
        if "late_days" in data and "new_date" in data and (late is None) == (day is None):
            return self._lacks("late_days", "Enter by how many days, or the new day: one of the two.")
        if day is not None and day < self.today:
            return self._lacks("new_date", "That day has passed. Enter the day it is expected now.")
        lines = lines_due([order] if order else PurchaseOrder.objects.filter(supplier=supplier, state=OrderState.SENT))
        data["days"] = tuple((line, day) for line in lines) if day else later_by(lines, int(late or 0), self.today)
        if not data["days"]:
            name = "order" if order else "supplier"
            self._lacks(name, "The supplier named no day for it. Enter the day it would come.")

    def _span(self, data: dict[str, Any], name: str, what: str) -> None:
        first, last = data.get(f"{name}_first"), data.get(f"{name}_last")
        if data.get(name) is None:
            if first or last:
                self._lacks(name, f"Choose the {name}.")
            return
        for end, day in (("first", first), ("last", last)):
            if day is None:
                self._lacks(f"{name}_{end}", f"Enter the {end} day {what}.")
        if first and last:
            if last < first:
                self._lacks(f"{name}_last", "Ends before it starts. Enter that day or a later one.")
            elif last < self.today:
                self._lacks(f"{name}_last", "Those days have passed. Enter days from today on.")
            data[f"{name}_span"] = Span(first=first, last=last)

    def _place(self, data: dict[str, Any]) -> None:
        build, place = data.get("build"), data.get("place")
        if build is None:
            if place:
                self._lacks("build", "Choose the build that would move.")
            return
        count = len(self.fields["build"].queryset)  # type: ignore[attr-defined]
        if place is None and "place" in data:
            self._lacks("place", "Enter the place it would have.")
        elif place is not None and place > count:
            self._lacks("place", f"The line has places 1 to {count}. Choose one of them.")
        elif place == build.place:
            self._lacks("place", f"{build.number} has place {place} already.")

    def _lacks(self, name: str, words: str) -> None:
        if name not in self.errors:
            self.add_error(name, words)

    def chosen(self) -> Chosen:
        """What was asked for; call it when the form is valid."""
        names = (
            "order",
            "supplier",
            "bench",
            "bench_span",
            "person",
            "person_span",
            "bench_type",
            "overtime_h",
            "build",
        )
        values = {name: self.cleaned_data.get(name) or None for name in names}
        return Chosen(**values, days=self.cleaned_data.get("days", ()), place=self.cleaned_data.get("place") or 0)


class ApplyForm(ReasonForm):
    """Why, and the revision of the plan the dates were worked out at."""

    revision = forms.IntegerField(widget=forms.HiddenInput, min_value=0)
