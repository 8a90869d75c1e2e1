"""What is entered on a build: another promise, parts handed back, and presses that need nothing entered."""

from __future__ import annotations

from typing import Any

from django import forms

from shop.forms.base import ShopForm
from shop.forms.days import DayField
from shop.forms.fields import CountField
from shop.forms.line import ReasonForm
from shop.forms.serials import SerialsField, UnitsMixin
from shop.models import Component


class PromiseForm(ReasonForm):
    """Another finish window."""

    finish_from = DayField(label="First day")
    finish_to = DayField(label="Last day")

    field_order = ["finish_from", "finish_to", "reason"]


class PressForm(ShopForm):
    """A press without anything to enter: holds the words of a refusal."""


class ReturnForm(UnitsMixin, ShopForm):
    """Units that go back onto the shelf."""

    quantity = CountField(label="How many", places=3)
    reason = forms.CharField(label="Why", max_length=200)

    def __init__(self, *args: Any, component: Component, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.ask_units(component, wording="Needed when only some go back.")
        self.fields.pop("batch", None)  # they go back to the batch they came from


class NumbersForm(ShopForm):
    """The numbers of a build's units of one part."""

    serials = SerialsField()
