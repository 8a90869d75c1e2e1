"""Exact decimals in any database, and random public ids.

SQLite keeps a "decimal" column as a binary float, so sums of cents drift there. These fields store whole numbers of the
smallest step instead: a sum is exact on SQLite and PostgreSQL alike.
"""

from __future__ import annotations

import secrets
from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING, Any, TypeVar

from django import forms
from django.core.exceptions import ValidationError
from django.db import models

LARGEST = 2**63 - 1

SET = TypeVar("SET")
GET = TypeVar("GET")

if TYPE_CHECKING:

    class Column(models.Field[SET, GET]):
        """A model field whose Python types the checker knows."""

else:

    class Column(models.Field):
        """At run time a plain field; the brackets are for the type checker."""

        def __class_getitem__(cls, types):
            return cls


def new_public_id() -> str:
    """An id for addresses: 60 random bits, so that row numbers stay inside."""
    return secrets.token_hex(8)[:15]


def new_link_token() -> str:
    """An unguessable link: 128 random bits, the strength OWASP asks of session ids."""
    return secrets.token_urlsafe(16)


class ExactDecimalField(Column[SET, GET]):
    """A Decimal with a fixed number of places, stored as a whole number of its smallest step.

    In arithmetic inside the database give plain numbers this type: F("amount") + Value(number, MoneyField()).
    """

    description = "Exact decimal"
    places = 4
    _pyi_private_set_type: Decimal | int | str
    _pyi_private_get_type: Decimal
    _pyi_lookup_exact_type: Decimal | int | str

    def get_internal_type(self) -> str:
        return "BigIntegerField"

    def from_db_value(self, value: int | None, expression: object, connection: object) -> Decimal | None:
        return None if value is None else Decimal(int(value)).scaleb(-self.places)

    def to_python(self, value: Any) -> Decimal | None:
        if value is None or value == "":
            return None
        if isinstance(value, float):
            raise ValidationError("%(value)r is a float. Use Decimal.", params={"value": value})
        try:
            number = Decimal(value)
        except (InvalidOperation, TypeError, ValueError) as error:
            raise ValidationError("'%(value)s' is not a number.", params={"value": value}) from error
        if not number.is_finite() or abs(number.scaleb(self.places)) > LARGEST:
            raise ValidationError("'%(value)s' is out of range.", params={"value": value})
        return number

    def validate(self, value: Any, model_instance: models.Model | None) -> None:
        super().validate(value, model_instance)
        number = self.to_python(value)
        if number is not None and number != round(number, self.places):
            raise ValidationError(
                "%(value)s has more than %(places)s decimal places.", params={"value": value, "places": self.places}
            )

    def get_prep_value(self, value: Any) -> int | None:
        number = self.to_python(super().get_prep_value(value))
        if number is None:
            return None
        steps = number.scaleb(self.places)
        if steps != steps.to_integral_value():
            raise ValueError(f"{self.name}: {number} has more than {self.places} decimal places.")
        return int(steps)

    def value_to_string(self, obj: models.Model) -> str:
        value = self.value_from_object(obj)
        return "" if value is None else str(value)

    def formfield(self, **kwargs: Any) -> forms.Field | None:
        defaults: dict[str, Any] = {"form_class": forms.DecimalField, "decimal_places": self.places}
        return super().formfield(**{**defaults, **kwargs})


class MoneyField(ExactDecimalField[SET, GET]):
    """An amount in the shop's currency, or a unit cost in a supplier's: four places, so cell prices fit."""

    description = "Amount of money"
    places = 4


class QuantityField(ExactDecimalField[SET, GET]):
    """A count of pieces or meters."""

    description = "Quantity"
    places = 3


class HoursField(ExactDecimalField[SET, GET]):
    """Hours of work."""

    description = "Hours"
    places = 2


class RateField(ExactDecimalField[SET, GET]):
    """A share or a rate as a fraction: 0.0725 is 7.25 %."""

    description = "Rate"
    places = 6
