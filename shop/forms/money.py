"""Money after the first deposit: taken, cleared, invoiced, credited, given back; and the hand-over."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from shop.forms.base import ShopForm
from shop.forms.days import DayField
from shop.forms.fields import AmountField
from shop.forms.keyed import KeyedForm
from shop.models import Method

REFERENCE = "The terminal's slip, the check's number, the transfer's text."


class PayForm(KeyedForm):
    """Money in. More than is asked is taken only when that is said."""

    amount = AmountField(label="Amount received")
    allow_more = forms.BooleanField(
        label="More came in than is asked", required=False, help_text="What is over is held and may be given back."
    )
    method = forms.ChoiceField(label="Paid by", choices=Method.choices, widget=forms.RadioSelect)
    reference = forms.CharField(label="Reference", max_length=80, required=False, help_text=REFERENCE)
    received_on = DayField(label="Received on")


class ClearForm(KeyedForm):
    """The day a check's money arrived."""

    cleared_on = DayField(label="Cleared on", help_text="The day the bank has it.")


class SureForm(KeyedForm):
    """What was shown, confirmed: refused when it has changed since."""

    shown = AmountField(label="As shown", low=None, widget=forms.HiddenInput)


class CancelForm(SureForm):
    """A build is cancelled. Only the owner is asked whether another sum is kept than the terms say."""

    reason = forms.CharField(label="Why", max_length=200, help_text="The customer reads it, and the log keeps it.")
    method = forms.ChoiceField(
        label="Given back by", choices=Method.choices, widget=forms.RadioSelect, initial=Method.BANK
    )
    reference = forms.CharField(label="Reference", max_length=80, required=False, help_text=REFERENCE)
    kept = AmountField(
        label="Keep another sum than the terms say", required=False, help_text="Empty keeps what the terms say."
    )

    def __init__(self, *args: Any, owner: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not owner:
            del self.fields["kept"]


class RefundForm(KeyedForm):
    """What was paid too much goes back, or a part of it."""

    amount = AmountField(label="Amount given back")
    method = forms.ChoiceField(label="Given back by", choices=Method.choices, widget=forms.RadioSelect)
    reference = forms.CharField(label="Reference", max_length=80, required=False, help_text=REFERENCE)
    reason = forms.CharField(label="Why", max_length=200, help_text="The customer reads it.")


class CreditForm(KeyedForm):
    """What of an invoice is credited: all that is left of it, or lines by their index."""

    whole = forms.BooleanField(label="All that is left of it", required=False)
    lines = forms.MultipleChoiceField(label="Or these lines", required=False, widget=forms.CheckboxSelectMultiple)
    reason = forms.CharField(label="Why", max_length=200, help_text="The customer reads it on the credit note.")

    def __init__(self, *args: Any, lines: Sequence[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["lines"].choices = lines  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if not data.pop("whole", False) and not data.get("lines") and "lines" not in self.errors:
            self.add_error("lines", "Choose at least one line, or all that is left.")
        elif "whole" in self.data:
            data["lines"] = None
        else:
            data["lines"] = tuple(int(line) for line in data.get("lines", ()))
        return data


class WriteOffForm(KeyedForm):
    """Why an invoice's balance is given up."""

    reason = forms.CharField(label="Why", max_length=200, help_text="The log keeps it.")


class HandOverForm(ShopForm):
    """The owner's reason to hand over what is not paid, or lacks serial numbers."""

    override = forms.CharField(label="Hand it over all the same, because", max_length=200, required=False)


class ToldForm(ShopForm):
    """The day the customer was told that the bike is ready."""

    told_on = DayField(label="Told on", help_text="Storage counts from that day.")
