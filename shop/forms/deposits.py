"""A deposit, and what corrects one."""

from __future__ import annotations

from typing import Any

from django import forms

from shop.forms.days import DayField
from shop.forms.fields import AmountField
from shop.forms.keyed import KeyedForm
from shop.models import Method


class DepositForm(KeyedForm):
    """How much was paid, how and when. Only the owner is asked whether less than the policy may do."""

    amount = AmountField(label="Amount received")
    method = forms.ChoiceField(label="Paid by", choices=Method.choices, widget=forms.RadioSelect)
    reference = forms.CharField(
        label="Reference",
        max_length=80,
        required=False,
        help_text="The terminal's slip, the check's number, the transfer's text.",
    )
    received_on = DayField(label="Received on")
    allow_less = forms.BooleanField(label="Take less than the shop's policy asks", required=False)

    def __init__(self, *args: Any, owner: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not owner:
            del self.fields["allow_less"]


class CorrectForm(DepositForm):
    """The deposit as it should have been entered, and what was wrong."""

    reason = forms.CharField(label="What was wrong", max_length=200)


class ReverseForm(KeyedForm):
    """Why a deposit is undone."""

    reason = forms.CharField(
        label="Why", max_length=200, help_text="The check bounced, the customer withdrew. The log keeps it."
    )
    keep_build = forms.BooleanField(
        label="The build stays where it is", required=False, help_text="Work has begun, or other money is coming."
    )

    def __init__(self, *args: Any, leaves: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not leaves:
            del self.fields["keep_build"]
