"""Filters of lists, as they stand in the address. What cannot be read counts as not given."""

from __future__ import annotations

from typing import Any

from django import forms


class FilterForm(forms.Form):
    """Words and a page; lists with more filters add them."""

    q = forms.CharField(max_length=80, required=False)
    page = forms.IntegerField(min_value=1, required=False)

    def read(self) -> dict[str, Any]:
        """Every filter by name: "" or, for the page, 1 when it is not given."""
        self.full_clean()
        known = {name: self.cleaned_data.get(name) or "" for name in self.fields}
        return {**known, "page": known["page"] or 1}

    @property
    def text(self) -> str:
        return str(self.read()["q"]).strip()
