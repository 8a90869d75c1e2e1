"""A customer or a donor added in place, without leaving the quote."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms

from shop.forms.base import ShopForm
from shop.forms.fields import MeasureField, WholeField
from shop.models import DonorFamily
from shop.models.donors import Market

OWN, YARD = "own", "yard"


class CustomerForm(ShopForm):
    """Enough to write to somebody; the rest is on the customer's own page."""

    name = forms.CharField(label="Name", max_length=120)
    phone = forms.CharField(label="Telephone", max_length=40, required=False)
    email = forms.EmailField(label="Mail address", required=False)
    address = forms.CharField(label="Address", required=False, max_length=400, widget=forms.Textarea(attrs={"rows": 2}))

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if data.get("name") and not data.get("phone") and not data.get("email") and not self.errors:
            self.add_error("phone", "Give a telephone number or a mail address, so that the quote can reach them.")
        return data


class DonorForm(ShopForm):
    """One bike: its family, its number, whose it is, and what was seen on it."""

    family = forms.ModelChoiceField(label="Family", queryset=DonorFamily.objects.all(), empty_label="Choose a family")
    year = WholeField(label="Year", low=Decimal(1900), high=Decimal(2100), required=False)
    vin = forms.CharField(label="VIN or frame number", max_length=30, required=False)
    market = forms.ChoiceField(label="Made for", choices=Market.choices, initial=Market.NORTH_AMERICA)
    whose = forms.ChoiceField(label="Whose", choices=[(OWN, "The customer's"), (YARD, "From our yard")], initial=OWN)
    kerb_kg = MeasureField("mass", label="Weighs", required=False, help_text="Weighed; empty takes the family's.")
    gvwr_kg = MeasureField("mass", label="Gross weight on plate", required=False, help_text="GVWR.")
    odometer_km = MeasureField("distance", label="Odometer", required=False)
    color = forms.CharField(label="Color", max_length=40, required=False)
    condition = forms.CharField(
        label="Condition", required=False, max_length=1000, widget=forms.Textarea(attrs={"rows": 2})
    )
    title_seen = forms.BooleanField(label="Title seen", required=False)
    stolen_check_done = forms.BooleanField(label="Stolen check done", required=False)
