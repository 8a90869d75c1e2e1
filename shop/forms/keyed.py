"""Forms that can be sent twice without harm: each carries a key of its own."""

from __future__ import annotations

import secrets

from django import forms

from shop.forms.base import ShopForm


def fresh_key() -> str:
    """For one form as it is shown: 128 random bits, so no two forms share one."""
    return secrets.token_urlsafe(16)


class KeyedForm(ShopForm):
    """A second press of the same form, or a lost answer, changes nothing."""

    key = forms.CharField(widget=forms.HiddenInput, max_length=60, initial=fresh_key)
