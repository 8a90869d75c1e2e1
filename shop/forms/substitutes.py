"""Parts in other parts' places."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms

from shop.forms.base import ShopForm
from shop.forms.line import ReasonForm
from shop.models import Component
from shop.selectors.substitutes import StandIn


class SubstituteForm(ShopForm):
    """A part of the same kind that may take this one's place."""

    stand_in = forms.ModelChoiceField(label="Part", queryset=Component.objects.none(), to_field_name="public_id")
    note = forms.CharField(label="What to mind", max_length=200, required=False)

    def __init__(self, *args: Any, component: Component, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        rows = Component.objects.filter(kind=component.kind).exclude(pk=component.pk).order_by("name", "pk")
        self.fields["stand_in"].queryset = rows  # type: ignore[attr-defined]


class SwapForm(ReasonForm):
    """Which part, and why."""

    stand_in = forms.ChoiceField(label="Part to use", widget=forms.RadioSelect)

    field_order = ["stand_in", "reason"]

    def __init__(self, *args: Any, rows: Iterable[StandIn], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.rows = {row.component.public_id: row.component for row in rows if row.fits}
        self.fields["stand_in"].choices = [(key, part.name) for key, part in self.rows.items()]  # type: ignore[attr-defined]

    def clean_stand_in(self) -> Component:
        return self.rows[self.cleaned_data["stand_in"]]
