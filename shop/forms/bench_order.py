"""Which step would be done before which, and why."""

from __future__ import annotations

from django import forms

from shop.forms.line import ReasonForm


class OrderForm(ReasonForm):
    """Why, and the revision of the plan the dates were worked out at."""

    revision = forms.IntegerField(widget=forms.HiddenInput, min_value=0)
