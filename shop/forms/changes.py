"""A change order: why it is begun, and who agreed to it."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms

from shop.forms.base import ShopForm
from shop.forms.days import DayField
from shop.forms.fields import AmountField
from shop.forms.keyed import KeyedForm
from shop.models import AgreedHow, Method


class ChangeForm(ShopForm):
    """What the customer wants changed."""

    reason = forms.CharField(
        label="What the customer wants", max_length=200, help_text="Printed on the change order and kept in the log."
    )


class AgreementForm(KeyedForm):
    """Both payers' agreement, and the further deposit where one is asked or given."""

    agreed_by = forms.CharField(label="Agreed by", max_length=120, help_text="The customer, by name.")
    agreed_how = forms.ChoiceField(label="How", choices=AgreedHow.choices, widget=forms.RadioSelect)
    agreed_on = DayField(label="On")
    other_payer = forms.CharField(
        label="Anybody else who pays",
        max_length=120,
        required=False,
        help_text="An insurer, a partner: who agreed too.",
    )
    amount = AmountField(label="Further deposit received", required=False)
    method = forms.ChoiceField(label="Paid by", choices=Method.choices, widget=forms.RadioSelect, required=False)
    reference = forms.CharField(label="Reference", max_length=80, required=False)
    allow_less = forms.BooleanField(label="Go on with less than the shop's policy asks", required=False)

    def __init__(self, *args: Any, owner: bool, asked: Decimal, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not owner or not asked:
            del self.fields["allow_less"]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if data.get("amount") and not data.get("method"):
            self.add_error("method", "Choose how it was paid.")
        return data
