"""A customer on their own page: how to reach them, and the certificates that exempt them from tax."""

from __future__ import annotations

from collections.abc import Iterable

from django import forms
from django.http import QueryDict

from shop.forms.base import ShopForm
from shop.forms.days import DayField
from shop.models import ExemptCertificate, ExemptKind, Shop, TaxAuthority


class CustomerForm(ShopForm):
    """How to reach a customer, and notes."""

    name = forms.CharField(label="Name", max_length=120)
    phone = forms.CharField(label="Telephone", max_length=40, required=False)
    email = forms.EmailField(label="Mail address", required=False)
    address = forms.CharField(label="Address", required=False, max_length=400, widget=forms.Textarea(attrs={"rows": 3}))
    notes = forms.CharField(
        label="Notes",
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="For the shop only; no customer sees them.",
    )


class CertificateForm(ShopForm):
    """One certificate of tax exemption. Empty days are open."""

    number = forms.CharField(label="Certificate number", max_length=60)
    kind = forms.ChoiceField(label="Kind", choices=[("", "Not said"), *ExemptKind.choices], required=False)
    authority = forms.ModelChoiceField(
        label="It holds with",
        queryset=TaxAuthority.objects.order_by("name"),
        required=False,
        empty_label="Everybody",
        help_text="Whose certificate it is. A sale taxed where this authority does not tax is taxed all the same.",
    )
    begin = DayField(label="Valid from", required=False, help_text="Empty: it always was.")
    until = DayField(label="Last day", required=False, help_text="Empty: until it is ended.")


class CertificateEndForm(ShopForm):
    """The last day a certificate holds on."""

    last = DayField(label="Last day it holds")


def certificate_form(
    certificate: ExemptCertificate | None, *, shop: Shop, data: QueryDict | None = None
) -> CertificateForm:
    """The form of one certificate, or of a new one; fields named after it, so that many stand on a page."""
    kept = ("number", "kind", "begin", "until")
    initial = {name: getattr(certificate, name) for name in kept} if certificate else {}
    initial["authority"] = certificate.authority_id if certificate else None
    return CertificateForm(data, shop=shop, initial=initial, prefix=certificate.public_id if certificate else "new")


def one_list_for(forms: Iterable[ShopForm]) -> None:
    """Let all forms of certificates on a page choose from one list of authorities, read once."""
    shown = [form for form in forms if isinstance(form, CertificateForm)]
    choices = list(shown[0].fields["authority"].choices) if shown else []  # type: ignore[attr-defined]
    for form in shown:
        form.fields["authority"].choices = choices  # type: ignore[attr-defined]
