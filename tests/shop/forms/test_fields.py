"""What people type is read as they mean it, or refused with the remedy."""

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from shop.forms.fields import (
    AmountField,
    CountField,
    HoursField,
    MeasureField,
    PlainMeasureField,
    ShareField,
    WholeField,
    read_number,
)
from shop.models import Shop


def told(field, **settings):
    field.tell(Shop(**settings))
    return field


@pytest.mark.parametrize(
    ("text", "locale", "expected"),
    [
        ("18,000", "en-US", "18000"),
        ("18000", "en-US", "18000"),
        ("18,000.50", "en-US", "18000.50"),
        (" 18 000.5 ", "en-US", "18000.5"),
        ("18.000,50", "de-DE", "18000.50"),
        ("18'000.50", "de-CH", "18000.50"),
        ("18 000,5", "fr-FR", "18000.5"),
        ("-3", "en-US", "-3"),
    ],
)
def test_numbers(text, locale, expected):
    assert read_number(text, locale, Decimal(20)) == Decimal(expected)


@pytest.mark.parametrize(
    ("text", "locale"),
    [("1,80", "en-US"), ("abc", "en-US"), ("", "en-US"), ("1.5.2", "en-US"), ("NaN", "en-US"), ("1.80", "de-DE")],
)
def test_what_is_no_number_is_refused(text, locale):
    with pytest.raises(ValidationError, match="is not a number"):
        read_number(text, locale, Decimal(20))


def test_amounts_take_the_sign_and_keep_cents():
    field = told(AmountField(), currency="USD", locale="en-US")
    assert field.clean("$18,000.25") == Decimal("18000.25")
    assert field.clean("18000 USD") == Decimal("18000")
    assert field.prepare_value(Decimal("18000")) == "18,000.00"
    assert (field.unit, field.unit_first) == ("$", True)


@pytest.mark.parametrize(("text", "words"), [("-1", "Write 0 or more"), ("0.00001", "at most 4 decimal places")])
def test_amounts_out_of_range(text, words):
    with pytest.raises(ValidationError, match=words):
        told(AmountField(), currency="USD", locale="en-US").clean(text)


def test_measures_in_the_shops_units_or_any_named():
    field = told(MeasureField("distance"), units="us", locale="en-US")
    # One mile is 1.609344 km exactly (NIST SP 811 appendix B.8).
    assert field.clean("50") == pytest.approx(80.4672)
    assert field.clean("50 mi") == pytest.approx(80.4672)
    assert field.clean("80 km") == pytest.approx(80.0)
    assert field.prepare_value(80.4672) == "50"
    assert field.unit == "mi"
    metric = told(MeasureField("speed"), units="metric", locale="en-US")
    assert metric.clean("65 mph") == pytest.approx(104.60736)
    assert metric.clean("105") == 105


def test_a_measure_of_another_kind_is_refused():
    with pytest.raises(ValidationError, match="“lb” is not a unit that fits here"):
        told(MeasureField("distance"), units="us", locale="en-US").clean("50 lb")
    with pytest.raises(ValidationError, match="is not a measure"):
        told(MeasureField("distance"), units="us", locale="en-US").clean("far")


def test_shares_are_typed_in_per_cent():
    field = told(ShareField(high=Decimal(100)), locale="en-US")
    assert field.clean("7.25 %") == Decimal("0.0725")
    assert field.prepare_value(Decimal("0.0725")) == "7.25"
    with pytest.raises(ValidationError, match="Write 100 or less"):
        field.clean("101")


def test_hours_by_the_clock_or_in_decimals():
    field = told(HoursField(), locale="en-US")
    assert field.clean("6:30") == Decimal("6.50")
    assert field.clean("6.5") == field.clean("6.5 h") == Decimal("6.5")


def test_counts():
    with pytest.raises(ValidationError, match="whole number"):
        told(CountField(), locale="en-US").clean("2.5")
    assert told(CountField(places=3), locale="en-US").clean("2.5") == Decimal("2.5")
    assert told(WholeField(), locale="en-US").clean("20") == 20
    assert told(WholeField(required=False), locale="en-US").clean("") is None


def test_plain_measures_take_their_unit():
    assert told(PlainMeasureField("V"), locale="en-US").clean("120 V") == 120.0
