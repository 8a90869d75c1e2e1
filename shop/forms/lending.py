"""A kept unit handed to another build."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from django import forms

from shop.forms.base import ShopForm
from shop.forms.fields import CountField
from shop.forms.keyed import KeyedForm
from shop.models import PartNeed
from shop.selectors.stock import NeedRow


class LendAskedForm(ShopForm):
    """To which build, and how many."""

    borrower = forms.ChoiceField(label="To which build")
    quantity = CountField(label="How many", places=3, low=Decimal("0.001"))

    def __init__(self, *args: Any, rows: Iterable[NeedRow], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.rows = {row.need.build.public_id: row for row in rows}
        self.fields["borrower"].choices = [  # type: ignore[attr-defined]
            (
                key,
                f"{row.need.build.number} {row.need.build.customer.name}, place {row.need.build.place}, "
                f"short by {row.short.normalize():f}",
            )
            for key, row in self.rows.items()
        ]

    def clean_borrower(self) -> PartNeed:
        return self.rows[self.cleaned_data["borrower"]].need


class LendForm(KeyedForm):
    """Why, and why in spite of a broken promise."""

    reason = forms.CharField(label="Why it goes to the other build", max_length=160)
    override = forms.CharField(
        label="Why although a promise breaks", max_length=160, required=False,
        help_text="Needed when the list above names a broken promise. The log keeps it.",
    )  # fmt: skip
