"""Forms drawn our way, told the shop: its locale reads and writes numbers, its units name them."""

from __future__ import annotations

from typing import Any

from django import forms
from django.forms.renderers import TemplatesSetting

from shop.forms.fields import ShopField
from shop.models import Shop


class PageRenderer(TemplatesSetting):
    """Our field and form templates, from templates/forms/."""

    form_template_name = "forms/form.html"
    field_template_name = "forms/field.html"


class ShopForm(forms.Form):
    """A form that knows the shop: its locale reads and writes numbers, its units name them."""

    default_renderer = PageRenderer
    mark_optional = False

    def __init__(self, *args: Any, shop: Shop, **kwargs: Any) -> None:
        super().__init__(*args, **{"label_suffix": "", **kwargs})
        self.shop = shop
        for field in self.fields.values():
            field.error_messages["required"] = "Fill this in."
            if isinstance(field, ShopField):
                field.tell(shop)

    def first_errors(self) -> dict[str, str]:
        """One line of words per field that has errors, by field name."""
        return {name: " ".join(str(error) for error in errors) for name, errors in self.errors.items()}
