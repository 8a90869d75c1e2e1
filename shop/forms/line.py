"""The line's filters, a build's new place, and the reason of an act that has to be told."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms

from shop.forms.base import ShopForm
from shop.forms.fields import WholeField
from shop.forms.lists import FilterForm
from shop.selectors.line_list import SHOWN, LineFilter


class LineFilterForm(FilterForm):
    show = forms.ChoiceField(choices=[(code, words) for code, (words, _) in SHOWN.items()], required=False)

    def filters(self) -> LineFilter:
        asked = self.read()
        return LineFilter(text=asked["q"], show=asked["show"])


class PlaceForm(ShopForm):
    """Another place in the line."""

    place = WholeField(label="New place", low=Decimal(1))


class ReasonForm(ShopForm):
    """Why: what those it concerns are told, and the log keeps."""

    reason = forms.CharField(label="Why", max_length=160)

    def __init__(self, *args: Any, help_text: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["reason"].help_text = help_text
