"""The shop's settings, its opening hours and its closed days."""

from __future__ import annotations

from datetime import time
from decimal import Decimal
from typing import Any
from zoneinfo import available_timezones

from django import forms

from shop.forms.base import ShopForm
from shop.forms.days import DayField, TimeField
from shop.forms.fields import AmountField, HoursField, MeasureField, PlainMeasureField, ShareField, WholeField
from shop.models import (
    CountrySheet,
    KeptBasis,
    OpeningHours,
    Paper,
    RefundStage,
    Shop,
    TaxPlace,
    TaxRounding,
    TaxSourcing,
    Units,
)

ALL = Decimal(100)
COLDEST_C = Decimal(-60)
FLOATS_AS_SHARES = ("usable_share",)
SPANS_A_DAY = 2  # before and after lunch


class SettingsForm(ShopForm):
    """The settings row, grouped as an owner looks for things."""

    name = forms.CharField(label="Name", max_length=120)
    address = forms.CharField(
        label="Address", max_length=400, widget=forms.Textarea(attrs={"rows": 3}), help_text="As printed on documents."
    )
    phone = forms.CharField(label="Telephone", max_length=40, required=False)
    email = forms.EmailField(label="Mail address", required=False)
    currency = forms.CharField(label="Currency", max_length=3, help_text="ISO 4217: USD, EUR, GBP.")
    locale = forms.CharField(label="Locale", max_length=12, help_text="How money and dates are written: en-US, en-GB.")
    zone = forms.ChoiceField(label="Time zone", choices=[(name, name) for name in sorted(available_timezones())])
    units = forms.ChoiceField(label="Units", choices=Units.choices)
    paper = forms.ChoiceField(label="Paper", choices=Paper.choices)
    home_tax_place = forms.ModelChoiceField(
        label="Taxed in, unless a quote says otherwise",
        queryset=TaxPlace.objects.order_by("name"),
        to_field_name="public_id",
        required=False,
        empty_label="None chosen",
    )
    home_country_sheet = forms.ModelChoiceField(
        label="Bikes are registered in",
        queryset=CountrySheet.objects.order_by("name"),
        to_field_name="public_id",
        required=False,
        empty_label="None chosen",
        help_text="Its limits on conversions are held against every quote.",
    )
    tax_number = forms.CharField(
        label="Tax number",
        max_length=40,
        required=False,
        help_text="VAT number, or the permit to collect sales tax. Printed under the address.",
    )
    tax_rounding = forms.ChoiceField(label="Tax is rounded", choices=TaxRounding.choices)
    tax_sourcing = forms.ChoiceField(
        label="What leaves by carrier is taxed in",
        choices=TaxSourcing.choices,
        help_text="What is picked up is taxed here.",
    )
    deposit_rate = ShareField(label="Deposit", high=ALL, low=Decimal(0), help_text="Share of the price.")
    deposit_minimum = AmountField(label="At least")
    deposit_fixed = AmountField(label="Fixed amount instead", required=False, help_text="Empty takes the share.")
    parts_deposit_rate = ShareField(
        label="Paid in all before parts are ordered",
        low=Decimal(0),
        high=ALL,
        help_text="Share of the price. 0 for no such deposit.",
    )
    keep_from = forms.ChoiceField(label="When a customer withdraws, the deposit is kept", choices=RefundStage.choices)
    kept_basis = forms.ChoiceField(label="Then kept is", choices=KeptBasis.choices)
    kept_rate = ShareField(
        label="Share that is kept", low=Decimal(0), high=ALL, help_text="Used when a share of what was paid is kept."
    )
    deposit_terms = forms.CharField(
        label="Deposit terms",
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="Printed on quotes and receipts, in plain words.",
    )
    valid_days = WholeField(label="An offer holds, days", low=Decimal(1), high=Decimal(365))
    hours_percentile = WholeField(
        label="Hours quoted at, percentile", low=Decimal(5), high=Decimal(95), help_text="60: enough in 6 builds of 10."
    )
    learn_hours = forms.BooleanField(
        label="Finished builds shift the estimates of new quotes",
        required=False,
        help_text="By what they took against their estimate; each step says by how much and from how many builds.",
    )
    change_deposit_rate = ShareField(
        label="Further deposit on a change", high=ALL, low=Decimal(0), help_text="Share of what it adds to the price."
    )
    replanning_h = HoursField(label="Planning a change takes", high=Decimal(40), help_text="Charged; 0 for nothing.")
    replanning_rate = AmountField(label="At, an hour")
    contingency_rate = ShareField(label="Contingency", low=Decimal(0), high=ALL)
    margin_floor = ShareField(label="Margin asks for a decision below", low=Decimal(0), high=Decimal("99.9"))
    discount_limit = ShareField(label="Most the counter may give away", low=Decimal(0), high=ALL)
    stale_after_days = WholeField(label="A price is asked again after, days", low=Decimal(1), high=Decimal(3650))
    duty_on_freight = forms.BooleanField(
        label="Duty is taken on freight too",
        required=False,
        help_text="As in the European Union, not in the United States; ask your customs office. Costs follow it.",
    )
    handling_days = WholeField(label="From the door to the bench, days", low=Decimal(0), high=Decimal(60))
    usable_share = ShareField(label="Of the pack's energy a rider uses", low=Decimal(1), high=ALL)
    rider_kg = MeasureField("mass", label="Rider")
    passenger_kg = MeasureField("mass", label="Passenger")
    luggage_kg = MeasureField("mass", label="Luggage")
    auxiliary_w = PlainMeasureField("W", label="Lamps and electronics")
    warm_c = PlainMeasureField("°C", label="Warm day", low=COLDEST_C)
    cold_c = PlainMeasureField("°C", label="Cold day", low=COLDEST_C)
    storage_free_days = WholeField(label="Stored free for, days", low=Decimal(0), high=Decimal(365))
    storage_fee = AmountField(label="Then a day", help_text="0 for none.")

    GROUPS = (
        ("Who we are", "", ("name", "phone", "email", "address")),
        (
            "How things are written",
            "The currency stays once something was offered or paid in it.",
            ("currency", "locale", "zone", "units", "paper"),
        ),
        (
            "Tax and registration",
            "Rates and limits are the shop's responsibility; ask the authority.",
            ("home_tax_place", "tax_number", "tax_rounding", "tax_sourcing", "home_country_sheet"),
        ),
        (
            "Deposit",
            "Printed in the terms of quotes and receipts. What was printed on a quote holds for its build.",
            (
                "deposit_rate",
                "deposit_minimum",
                "deposit_fixed",
                "parts_deposit_rate",
                "keep_from",
                "kept_basis",
                "kept_rate",
                "deposit_terms",
            ),
        ),
        (
            "Quoting",
            "",
            (
                "valid_days",
                "hours_percentile",
                "learn_hours",
                "contingency_rate",
                "margin_floor",
                "discount_limit",
                "stale_after_days",
                "duty_on_freight",
                "handling_days",
            ),
        ),
        (
            "Changes to a running build",
            "Asked on every change order from now on.",
            ("change_deposit_rate", "replanning_h", "replanning_rate"),
        ),
        (
            "What range and weight are worked out with",
            "Stated on every quote as what was assumed.",
            ("usable_share", "rider_kg", "passenger_kg", "luggage_kg", "auxiliary_w", "warm_c", "cold_c"),
        ),
        ("Storage", "Printed in the terms.", ("storage_free_days", "storage_fee")),
    )

    @classmethod
    def shown(cls, shop: Shop) -> dict[str, Any]:
        values = {name: getattr(shop, name) for name in cls.base_fields}
        return {**values, **{name: Decimal(str(values[name])) for name in FLOATS_AS_SHARES}}

    def clean_usable_share(self) -> float:
        return float(self.cleaned_data["usable_share"])

    def clean_currency(self) -> str:
        return str(self.cleaned_data["currency"]).upper()

    def groups(self) -> list[tuple[str, str, list[forms.BoundField]]]:
        return [(words, note, [self[name] for name in names]) for words, note, names in self.GROUPS]


class HoursForm(ShopForm):
    """The week: up to two spans a day, empty when closed."""

    def __init__(self, *args: Any, hours: list[OpeningHours] | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        known: dict[int, list[OpeningHours]] = {}
        for row in hours or []:
            known.setdefault(row.weekday, []).append(row)
        for day, label in OpeningHours.Weekday.choices:
            rows = known.get(day, [])
            for index in range(max(SPANS_A_DAY, len(rows))):
                span = rows[index] if index < len(rows) else None
                which = ("first", "second")[index] if index < SPANS_A_DAY else f"number {index + 1}"
                self.fields[f"start-{day}-{index}"] = TimeField(
                    label=f"{label}, {which} opens", initial=span and span.start
                )
                self.fields[f"end-{day}-{index}"] = TimeField(
                    label=f"{label}, {which} closes", initial=span and span.end
                )

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        for name in [each for each in self.fields if each.startswith("start-")]:
            end = name.replace("start-", "end-")
            if name in data and end in data and (data[name] is None) != (data[end] is None):
                self.add_error(end if data[end] is None else name, "Enter both times, or neither.")
        return data

    def spans(self) -> list[tuple[int, time, time]]:
        starts = [name for name in self.fields if name.startswith("start-") and self.cleaned_data.get(name)]
        return [
            (int(name.split("-")[1]), self.cleaned_data[name], self.cleaned_data[name.replace("start-", "end-")])
            for name in starts
        ]

    def days(self) -> list[tuple[str, list[tuple[forms.BoundField, forms.BoundField]]]]:
        """Each weekday with its pairs of fields."""
        return [
            (
                label,
                [
                    (self[name], self[name.replace("start-", "end-")])
                    for name in self.fields
                    if name.startswith(f"start-{day}-")
                ],
            )
            for day, label in OpeningHours.Weekday.choices
        ]


class ClosedForm(ShopForm):
    """Days the shop is shut."""

    first = DayField(label="First day")
    last = DayField(label="Last day")
    reason = forms.CharField(label="Why", max_length=120)
