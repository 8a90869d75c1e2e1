"""Tax: an address looked up, a state's files read, a holiday entered."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from shop.forms.base import ShopForm
from shop.forms.days import DayField
from shop.forms.fields import AmountField
from shop.models import TaxAuthority, TaxClass
from shop.selectors.tax_lookup import zip_of

FILE_HELP = "The CSV as the state publishes it, or its ZIP."


class LookUpForm(ShopForm):
    """An address, or only its ZIP."""

    address = forms.CharField(
        label="Address or ZIP", max_length=400, help_text="With ZIP+4 where you know it: 30601-1234."
    )

    def clean_address(self) -> str:
        address = str(self.cleaned_data["address"])
        if not zip_of(address)[0]:
            raise ValidationError("There is no ZIP in it. Write five digits, such as 30601 or 30601-1234.")
        return address


class RateFileForm(ShopForm):
    """A state's rate file, and what its general rate holds for."""

    file = forms.FileField(label="Rate file", help_text=FILE_HELP)
    state_name = forms.CharField(
        label="The state's name",
        max_length=60,
        required=False,
        help_text="The file has only numbers. Names can be changed later.",
    )
    classes = forms.MultipleChoiceField(
        label="The general rate holds for",
        choices=TaxClass.choices,
        initial=[TaxClass.PARTS],
        widget=forms.CheckboxSelectMultiple,
        help_text="The rest is entered as not taxed, or stays as you have it. Ask the state what it taxes.",
    )


class ZipFileForm(ShopForm):
    """A state's boundary file, narrowed to where the shop's customers live."""

    file = forms.FileField(label="Boundary file", help_text=FILE_HELP)
    beginnings = forms.CharField(
        label="Only ZIP codes that begin with",
        max_length=200,
        required=False,
        help_text="Such as 306, 3010. Empty keeps the whole state.",
    )

    def clean_beginnings(self) -> list[str]:
        parts = re.split(r"[\s,;]+", str(self.cleaned_data["beginnings"]).strip())
        found = [part for part in parts if part]
        if any(not part.isdigit() or len(part) > 5 for part in found):
            raise ValidationError("Write one to five digits each, parted by commas.")
        return found


class HolidayForm(ShopForm):
    """A few days on which an authority does not tax, or taxes only what costs more."""

    authority = forms.ModelChoiceField(label="Authority", queryset=TaxAuthority.objects.all(), empty_label="Choose one")
    tax_class = forms.ChoiceField(label="Of", choices=TaxClass.choices)
    first = DayField(label="First day")
    last = DayField(label="Last day")
    up_to = AmountField(
        label="Single items up to", required=False, help_text="Dearer ones are taxed wholly. Empty: none is taxed."
    )

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if data.get("up_to") == 0:
            self.add_error("up_to", "Leave it empty when nothing is taxed.")
        return data
