"""A customer on their own page: how to reach them, and what exempts them from tax."""

from __future__ import annotations

from django import forms

from shop.forms.base import ShopForm
from shop.forms.days import DayField
from shop.models import ExemptKind, TaxAuthority


class CustomerForm(ShopForm):
    """Everything kept of a customer. An empty date of an exemption means that it has no end."""

    name = forms.CharField(label="Name", max_length=120)
    phone = forms.CharField(label="Telephone", max_length=40, required=False)
    email = forms.EmailField(label="Mail address", required=False)
    address = forms.CharField(label="Address", required=False, max_length=400, widget=forms.Textarea(attrs={"rows": 3}))
    exempt_certificate = forms.CharField(label="Tax exemption certificate", max_length=60, required=False)
    exempt_kind = forms.ChoiceField(
        label="Kind of exemption", choices=[("", "Not said"), *ExemptKind.choices], required=False
    )
    exempt_authority = forms.ModelChoiceField(
        label="It holds with",
        queryset=TaxAuthority.objects.order_by("name"),
        required=False,
        empty_label="Everybody",
        help_text="Whose certificate it is. A sale taxed where this authority does not tax is taxed all the same.",
    )
    exempt_until = DayField(label="Exemption valid until", required=False)
    notes = forms.CharField(
        label="Notes",
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="For the shop only; no customer sees them.",
    )
