"""Serial numbers as a scanner types them: one a line, or with commas between."""

from __future__ import annotations

import re
from typing import Any

from django import forms

from shop.models import Component

SCAN_HELP = "Scan or type them, one a line. A scanner that ends with Enter goes on by itself."


class SerialsField(forms.CharField):
    """Numbers as a tuple of texts, blanks and empty lines left out."""

    def __init__(self, **kwargs: Any) -> None:
        widget = forms.Textarea(attrs={"rows": 3, "autocomplete": "off", "autocapitalize": "characters",
                                       "spellcheck": "false"})  # fmt: skip
        defaults = {"label": "Serial numbers", "required": False, "help_text": SCAN_HELP, "widget": widget}
        super().__init__(**{**defaults, **kwargs})

    def to_python(self, value: Any) -> tuple[str, ...]:  # type: ignore[override]
        text = super().to_python(value) or ""
        return tuple(part.strip() for part in re.split(r"[\n,;\t]", text) if part.strip())

    def prepare_value(self, value: Any) -> Any:
        return "\n".join(value) if isinstance(value, list | tuple) else value


def batch_field(**kwargs: Any) -> forms.CharField:
    return forms.CharField(**{"label": "Batch", "max_length": 60, "required": False,
                              "help_text": "As printed on the box.", **kwargs})  # fmt: skip


def takes_serials(component: Component) -> bool:
    return component.numbered


def takes_batch(component: Component) -> bool:
    return component.batched


class UnitsMixin(forms.Form):
    """The fields a component's kind asks for: numbers, a batch, or neither. `serials` and `batch` are always read."""

    def ask_units(self, component: Component, *, must: bool = False, wording: str = "") -> None:
        """`must`: numbers are needed unless it is said that the units carry none."""
        self.must_number = must and takes_serials(component)
        if takes_serials(component):
            self.fields["serials"] = SerialsField(**({"help_text": f"{wording} {SCAN_HELP}"} if wording else {}))
            if must:
                self.fields["unnumbered"] = forms.BooleanField(
                    label="They carry no number, or it is entered later", required=False
                )
        if takes_batch(component):
            self.fields["batch"] = batch_field()

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        without = not data.pop("unnumbered", False) and not data.get("serials")
        if getattr(self, "must_number", False) and "serials" not in self.errors and without:
            self.add_error("serials", "Enter a number for each unit, or say that they carry none.")
        return data
