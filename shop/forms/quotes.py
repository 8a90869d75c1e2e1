"""The Counter's forms: one per change. A form's `prefix` keeps the ids of its fields apart on the page."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from quoting.parts import KINDS
from shop import written
from shop.forms.base import ShopForm
from shop.forms.fields import (
    AmountField,
    CountField,
    HoursField,
    MeasureField,
    PlainMeasureField,
    ShareField,
    WholeField,
)
from shop.forms.keyed import KeyedForm
from shop.models import BenchType, Job, OptionExtra, Skill, TaxClass, TaxPlace, VersionState
from shop.selectors.quotes import QuoteFilter

# A replaced version is never a quote's newest, so the list has none.
STATES = [("", "All"), *((state.value, state.label) for state in VersionState if state != VersionState.REPLACED)]
MOST_GROUPS = Decimal(200)  # a pack of more groups in series is above 800 V: beyond any road bike
MOST_CELLS = Decimal(500)


class ListForm(forms.Form):
    """The list's filters, as they stand in the address. What cannot be read counts as not given."""

    state = forms.ChoiceField(choices=STATES, required=False)
    q = forms.CharField(max_length=80, required=False)
    page = forms.IntegerField(min_value=1, required=False)

    def filters(self) -> QuoteFilter:
        self.full_clean()
        read = self.cleaned_data
        return QuoteFilter(text=read.get("q", "").strip(), state=read.get("state", ""), page=read.get("page") or 1)


class SaleForm(ShopForm):
    """What kind of job it is and where the sale is taxed."""

    job = forms.ChoiceField(label="Job", choices=Job.choices)
    tax_place = forms.ModelChoiceField(
        label="Taxed in", queryset=TaxPlace.objects.all(), required=False, empty_label="Choose a place"
    )


class JobForm(KeyedForm):
    """A new quote starts from the kind of job."""

    job = forms.ChoiceField(label="What is to be done?", choices=Job.choices, initial=Job.CONVERSION)


class WishesForm(ShopForm):
    """What the customer wants, in riding terms."""

    town_km = MeasureField("distance", label="Range, town", required=False)
    back_road_km = MeasureField("distance", label="Range, back road", required=False)
    highway_km = MeasureField("distance", label="Range, highway", required=False)
    held_kmh = MeasureField("speed", label="Holds", required=False)
    top_kmh = MeasureField("speed", label="Reaches", required=False)
    hill_percent = PlainMeasureField("%", label="Climbs for long", high=Decimal(60), required=False)
    budget = AmountField(label="Budget, all in", required=False)
    circuit_v = PlainMeasureField("V", label="Charged from", required=False)
    circuit_a = PlainMeasureField("A", label="Breaker", required=False)
    overnight_h = PlainMeasureField("h", label="Full within", required=False)
    two_up = forms.BooleanField(label="Two people ride it", required=False)
    by_carrier = forms.BooleanField(label="Leaves by carrier", required=False)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if "circuit_v" in data and "circuit_a" in data and (data["circuit_v"] is None) != (data["circuit_a"] is None):
            missing = "circuit_a" if data["circuit_a"] is None else "circuit_v"
            self.add_error(missing, "A circuit needs both volts and amps.")
        return data


class NoteForm(ShopForm):
    """A note printed on the quote."""

    note = forms.CharField(
        label="Note to the customer",
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Printed on the quote.",
    )


class PackForm(ShopForm):
    """Cells in series and parallel, and the bays they go into."""

    series = WholeField(label="In series", low=Decimal(1), high=MOST_GROUPS, required=False)
    parallel = WholeField(label="In parallel", low=Decimal(1), high=MOST_CELLS, required=False)
    link_mohm = PlainMeasureField("mΩ", label="Links and bus bars", required=False)
    bay_names = forms.MultipleChoiceField(label="Bays used", required=False, widget=forms.CheckboxSelectMultiple)

    def __init__(self, *args: Any, bays: Sequence[str] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if bays:
            self.fields["bay_names"].choices = [(name, name) for name in bays]  # type: ignore[attr-defined]
        else:
            del self.fields["bay_names"]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if {"series", "parallel"} <= data.keys() and (data["series"] is None) != (data["parallel"] is None):
            missing = "parallel" if data["parallel"] is None else "series"
            self.add_error(missing, "A pack needs both counts. Leave both empty for no pack.")
        return data


class PartForm(ShopForm):
    """How many of a part, at which price, and for cables how many conductors side by side."""

    quantity = CountField(label="Count", places=3, low=Decimal("0.001"))
    conductors = WholeField(label="Conductors side by side", low=Decimal(1), high=Decimal(12), required=False)
    unit_price = AmountField(label="Price each", required=False, help_text="Empty: the catalogue's price.")

    def __init__(self, *args: Any, kind: str, counted: bool, **kwargs: Any) -> None:
        """`counted`: the count follows the pack plan and is not typed."""
        super().__init__(*args, **kwargs)
        if counted:
            del self.fields["quantity"]
        else:
            self.fields["quantity"].unit = "" if KINDS[kind].unit == "piece" else KINDS[kind].unit  # type: ignore[attr-defined]
        if kind != "cable":
            del self.fields["conductors"]


class StepForm(ShopForm):
    """Hours of a step set by hand; empty takes the estimate."""

    hours = HoursField(label="Hours", required=False, high=Decimal(1000))


class NewStepForm(ShopForm):
    """Work the routing does not have: done here by someone at a bench, or outside within so many days."""

    label = forms.CharField(label="What is done", max_length=80)
    skill = forms.ModelChoiceField(label="Skill", queryset=Skill.objects.all(), required=False, empty_label="Nobody's")
    bench_type = forms.ModelChoiceField(
        label="Bench", queryset=BenchType.objects.all(), required=False, empty_label="No bench"
    )
    hours = HoursField(label="Hours", required=False, high=Decimal(1000))
    lead_days = WholeField(label="Days outside", low=Decimal(0), high=Decimal(365), required=False)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        hours, days = data.get("hours"), data.get("lead_days")
        if not self.errors and not hours and not days:
            self.add_error("hours", "Give the hours, or the days it is outside.")
        if hours and not data.get("skill"):
            self.add_error("skill", "Hours need a skill: it has the rate.")
        return data


class ExtraForm(ShopForm):
    """Outside work, consumables, freight or a fee."""

    kind = forms.ChoiceField(label="Kind", choices=OptionExtra.Kind.choices)
    label = forms.CharField(label="Words on the quote", max_length=120)
    amount = AmountField(label="Amount")
    cost = AmountField(label="Costs us", required=False, help_text="Empty: not known.")
    tax_class = forms.ChoiceField(label="Taxed as", choices=TaxClass.choices, initial=TaxClass.FEE)


class PriceForm(ShopForm):
    """What is put on or taken off: contingency, discount, allowance for the old engine."""

    contingency_rate = ShareField(label="Contingency", low=Decimal(0), high=Decimal(50), required=False)
    contingency_in_labor = forms.BooleanField(
        label="Within the hours, not a line of its own",
        required=False,
        help_text="The customer sees hours at a higher rate.",
    )
    discount_rate = ShareField(label="Discount", low=Decimal(0), high=Decimal(100), required=False)
    discount_amount = AmountField(label="or an amount", required=False)
    discount_reason = forms.CharField(label="Reason for the discount", max_length=160, required=False)
    allowance_amount = AmountField(label="Allowance", required=False)
    allowance_label = forms.CharField(label="Allowance is for", max_length=120, required=False)

    def __init__(self, *args: Any, limit: Decimal | None = None, **kwargs: Any) -> None:
        """`limit` the greatest share this person may give away; None for no limit."""
        super().__init__(*args, **kwargs)
        self.limit = limit
        if limit is not None:
            self.fields[
                "discount_rate"
            ].help_text = f"Up to {written.percent(limit, self.shop.locale)}; more by the owner."

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        for name in ("contingency_rate", "discount_rate", "discount_amount", "allowance_amount"):
            if name in data and data[name] is None:
                data[name] = Decimal(0)
        rate, amount = data.get("discount_rate", Decimal(0)), data.get("discount_amount", Decimal(0))
        if rate and amount:
            self.add_error("discount_amount", "Give a share or an amount, not both.")
        if (rate or amount) and not data.get("discount_reason"):
            self.add_error("discount_reason", "Say why: it is printed on the quote and kept.")
        if self.limit is not None and rate > self.limit:
            self.add_error("discount_rate", "That is above what the counter may give. Ask the owner to enter it.")
        if data.get("allowance_amount") and not data.get("allowance_label"):
            self.add_error("allowance_label", "Say what the allowance is for.")
        return data


class LabelForm(ShopForm):
    """What an option is called."""

    label = forms.CharField(label="Option's name", max_length=80, required=False)


class DecisionForm(ShopForm):
    """Why a check is accepted as it is."""

    reason = forms.CharField(label="Sold so because", max_length=300)

    def clean_reason(self) -> str:
        reason = str(self.cleaned_data["reason"]).strip()
        if len(reason.split()) < 2:
            raise ValidationError("Give the reason in a few words; it is kept with the quote.")
        return reason


class ReasonForm(ShopForm):
    """Why a quote is declined."""

    reason = forms.CharField(label="Reason", max_length=200, required=False)
