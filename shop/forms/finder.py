"""A found set put on an option: which option, and the set itself as it was shown."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from django import forms
from django.core.exceptions import ValidationError

from shop.forms.base import ShopForm
from shop.models import OPTION_KEYS, Component

LETTERS = [(key, key) for key in OPTION_KEYS]
MOST_PARTS = 60  # lines on an option; more is no set of ours
NOT_READ = "The set cannot be read. Find builds again and choose one."


@dataclass(frozen=True)
class Listed:
    """One part of the set as sent."""

    component: Component
    quantity: Decimal
    conductors: int


class UseSetForm(ShopForm):
    """`parts` is public id, quantity and conductors with colons between, one after the other."""

    option = forms.ChoiceField(choices=LETTERS, widget=forms.HiddenInput)
    like = forms.ChoiceField(choices=LETTERS, widget=forms.HiddenInput)
    series = forms.IntegerField(min_value=1, max_value=500, widget=forms.HiddenInput)
    parallel = forms.IntegerField(min_value=1, max_value=500, widget=forms.HiddenInput)
    label = forms.CharField(max_length=80, required=False, widget=forms.HiddenInput)
    parts = forms.CharField(max_length=4000, widget=forms.HiddenInput)
    replacing = forms.BooleanField(required=False, widget=forms.HiddenInput)

    def clean_parts(self) -> tuple[Listed, ...]:
        """Components and amounts. Raises ValidationError for words that are no set, or a part that is gone."""
        words = self.cleaned_data["parts"].split()
        if not 1 <= len(words) <= MOST_PARTS:
            raise ValidationError(NOT_READ)
        read = [_read(word) for word in words]
        components = {row.public_id: row for row in Component.objects.filter(public_id__in=[each[0] for each in read])}
        if len(components) != len(read):
            raise ValidationError(
                "A part of this set is no longer in the catalogue, or stands in it twice. Find again."
            )
        return tuple(Listed(components[public_id], amount, count) for public_id, amount, count in read)


def _read(word: str) -> tuple[str, Decimal, int]:
    try:
        public_id, amount, conductors = word.split(":")
        quantity, count = Decimal(amount), int(conductors)
    except (ValueError, InvalidOperation) as error:
        raise ValidationError(NOT_READ) from error
    if not quantity.is_finite() or quantity <= 0 or count < 1:
        raise ValidationError(NOT_READ)
    return public_id, quantity, count
