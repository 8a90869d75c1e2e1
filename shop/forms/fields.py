"""Fields that read what people write: "18,000", "50 mi", "80 km", "10 %", "1:30"."""

from __future__ import annotations

import re
from decimal import Decimal, InvalidOperation
from typing import Any

from babel.numbers import NumberFormatError, get_decimal_symbol, get_group_symbol, parse_decimal
from django import forms
from django.core.exceptions import ValidationError

from quoting.errors import UnitError
from quoting.show import from_shown, to_shown, unit_symbol
from quoting.units import parse_quantity
from shop import written
from shop.models import Shop

# The unit a quantity is kept in (see quoting.show.QUANTITIES), so that "80 km" is understood where miles are meant.
KEPT_IN = {"distance": "km", "speed": "km/h", "mass": "kg", "length": "mm", "height": "m"}
SHOWN_PLACES = {"length": 2}  # decimals of a converted figure, else 1: 80.4672 km is 50 mi again


class ShopField(forms.Field):
    """A field written by the shop's locale and units. Until told a shop it reads American figures."""

    locale = "en-US"
    unit = ""
    unit_first = False
    example = Decimal(20)  # what the words of a refusal show
    widget = forms.TextInput

    def __init__(self, *, low: Decimal | None = None, high: Decimal | None = None, **kwargs: Any) -> None:
        self.low, self.high = low, high
        super().__init__(**kwargs)

    def tell(self, shop: Shop) -> None:
        self.locale = shop.locale

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        return {**super().widget_attrs(widget), "inputmode": "decimal", "autocomplete": "off", "class": "figure"}

    def number(self, text: str) -> Decimal:
        return read_number(text, self.locale, self.example)

    def within(self, value: Decimal) -> Decimal:
        if self.low is not None and value < self.low:
            raise ValidationError(f"Write {written.quantity(self.low, self.locale)} or more.")
        if self.high is not None and value > self.high:
            raise ValidationError(f"Write {written.quantity(self.high, self.locale)} or less.")
        return value

    def has_changed(self, initial: Any, data: Any) -> bool:
        return str(self.prepare_value(initial) or "") != str(data or "").strip()


def read_number(text: str, locale: str, example: Decimal) -> Decimal:
    """A number by a locale: "18,000", "18 000", "18000.50". Raises ValidationError that shows `example`."""
    tag = written.locale_of(locale)
    bare = re.sub(r"[\s\u00a0\u202f'’]", "", text)
    group, point = get_group_symbol(tag), get_decimal_symbol(tag)
    if group in ("\u00a0", "\u202f", "’", "'"):
        group = ""
    try:
        if bare.count(point) <= 1 and group and group in bare:
            parse_decimal(bare, locale=tag, strict=True)  # 1,80 in a shop that writes 1.80 is refused, not read as 180
        value = Decimal(bare.replace(group, "").replace(point, ".") if group else bare.replace(point, "."))
    except (NumberFormatError, InvalidOperation) as error:
        shown = written.quantity(example, locale)
        raise ValidationError(f"“{text}” is not a number. Write it like {shown}.") from error
    if not value.is_finite():
        raise ValidationError(f"“{text}” is not a number. Write figures.")
    return value


class AmountField(ShopField):
    """Money in the shop's currency as Decimal. The sign and grouping may be typed or left out."""

    currency = "USD"
    example = Decimal("18000.5")

    def __init__(self, *, low: Decimal | None = Decimal(0), **kwargs: Any) -> None:
        super().__init__(low=low, **kwargs)

    def tell(self, shop: Shop) -> None:
        super().tell(shop)
        self.currency = shop.currency
        self.unit = written.currency_sign(shop.currency, shop.locale)
        self.unit_first = written.sign_first(shop.currency, shop.locale)

    def to_python(self, value: Any) -> Decimal | None:
        if value in self.empty_values:
            return None
        if isinstance(value, Decimal):
            return value
        text = str(value).replace(self.unit, "").replace(self.currency, "")
        amount = self.within(self.number(text))
        if -int(amount.normalize().as_tuple().exponent) > written.MOST_PLACES:
            raise ValidationError(f"Write at most {written.MOST_PLACES} decimal places.")
        return amount

    def prepare_value(self, value: Any) -> Any:
        return written.money(value, self.currency, self.locale, symbol=False) if isinstance(value, Decimal) else value


class CountField(ShopField):
    """A count or measure as Decimal with at most `places` decimals."""

    def __init__(self, *, places: int = 0, low: Decimal | None = Decimal(0), **kwargs: Any) -> None:
        self.places = places
        super().__init__(low=low, **kwargs)

    def to_python(self, value: Any) -> Decimal | None:
        if value in self.empty_values:
            return None
        count = self.within(self.number(str(value)))
        if count != round(count, self.places):
            words = "whole number" if not self.places else f"number with at most {self.places} decimal places"
            raise ValidationError(f"Write a {words}.")
        return count

    def prepare_value(self, value: Any) -> Any:
        known = isinstance(value, Decimal | int | float) and not isinstance(value, bool)
        return written.quantity(value, self.locale, max(self.places, 0)) if known else value


class WholeField(CountField):
    """A whole number as int."""

    def to_python(self, value: Any) -> int | None:  # type: ignore[override]
        count = super().to_python(value)
        return None if count is None else int(count)


class ShareField(ShopField):
    """Per cent as people write it, kept as a fraction: "10" and "10 %" are Decimal("0.1")."""

    unit = "%"

    def to_python(self, value: Any) -> Decimal | None:
        if value in self.empty_values:
            return None
        shown = self.within(self.number(str(value).replace("%", "")))
        return (shown / 100).normalize()

    def prepare_value(self, value: Any) -> Any:
        return written.quantity(value * 100, self.locale, 4) if isinstance(value, Decimal) else value


class HoursField(CountField):
    """Hours of work as Decimal: "6", "6.5", "6:30"."""

    unit = "h"
    example = Decimal("6.5")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(places=2, **kwargs)

    def to_python(self, value: Any) -> Decimal | None:
        match = re.fullmatch(r"\s*(\d{1,4}):([0-5]\d)\s*h?\s*", str(value or ""))
        if match:
            exact = Decimal(match.group(1)) + Decimal(match.group(2)) / 60
            return self.within(exact.quantize(Decimal("0.01")))
        return super().to_python(str(value or "").removesuffix("h"))


class MeasureField(ShopField):
    """A distance, speed, mass, length or height typed in the shop's units, or in any that is named; kept in its own.

    `quantity` is a key of KEPT_IN; the value is a float in that unit.
    """

    units = "us"

    def __init__(self, quantity: str, **kwargs: Any) -> None:
        self.quantity = quantity
        super().__init__(low=Decimal(0), **kwargs)

    def tell(self, shop: Shop) -> None:
        super().tell(shop)
        self.units = shop.units
        self.unit = unit_symbol(self.quantity, shop.units)

    def to_python(self, value: Any) -> float | None:
        if value in self.empty_values:
            return None
        text = str(value).strip()
        bare = re.fullmatch(r"(.*?[\d.,'’\s])\s*([^\d\s.,'’]\S*)?", text)
        if bare is None:
            raise ValidationError(f"“{text}” is not a measure. Write a number, such as 50 {self.unit}.".rstrip())
        shown = self.within(self.number(bare.group(1)))
        named = bare.group(2)
        if not named or named == self.unit:
            return from_shown(self.quantity, float(shown), self.units)
        try:
            return parse_quantity(f"{shown:f} {named}", KEPT_IN[self.quantity])
        except UnitError as error:
            kept = f"{self.unit} or {KEPT_IN[self.quantity]}"
            raise ValidationError(f"“{named}” is not a unit that fits here. Use {kept}.") from error

    def prepare_value(self, value: Any) -> Any:
        if not isinstance(value, float | int):
            return value
        shown = to_shown(self.quantity, float(value), self.units)
        return written.quantity(shown, self.locale, SHOWN_PLACES.get(self.quantity, 1))


class PlainMeasureField(ShopField):
    """A figure whose unit is the same everywhere (V, A, h), kept as a float."""

    def __init__(self, unit: str, **kwargs: Any) -> None:
        super().__init__(low=kwargs.pop("low", Decimal(0)), **kwargs)
        self.unit = unit

    def to_python(self, value: Any) -> float | None:
        if value in self.empty_values:
            return None
        return float(self.within(self.number(str(value).removesuffix(self.unit))))

    def prepare_value(self, value: Any) -> Any:
        return written.quantity(value, self.locale) if isinstance(value, float | int) else value
