"""Which column of a supplier's price list is which figure."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms

from shop.forms.base import ShopForm
from shop.importing.price_list import FIELDS, NEEDED


class HeadingsForm(ShopForm):
    """One choice for each figure, of the columns the file has."""

    def __init__(self, *args: Any, columns: tuple[str, ...], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, column in FIELDS.items():
            none = [] if name in NEEDED else [("", "not in the list")]
            choices = [*none, *((each, each.replace("_", " ")) for each in columns)]
            self.fields[name] = forms.ChoiceField(label=column.label, choices=choices, required=name in NEEDED)

    def headings(self) -> Mapping[str, str]:
        return {name: self.cleaned_data[name] for name in FIELDS if self.cleaned_data.get(name)}
