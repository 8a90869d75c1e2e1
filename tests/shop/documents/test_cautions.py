"""The usual cautions, by what the quote is for. Bases are named in shop/documents/cautions.py."""

from __future__ import annotations

from dataclasses import replace

from quoting import QuoteRequest, quote
from quoting.example import example_request
from quoting.result import QuoteResult
from shop.documents.cautions import cautions_of
from shop.documents.pen import Pen

REQUEST = example_request()


def told(request: QuoteRequest = REQUEST, result: QuoteResult | None = None, locale: str = "en-US") -> str:
    pen = Pen(locale, request.currency, request.units)
    return " ".join(cautions_of(request, result or quote(request), pen)).replace("\xa0", " ")


def test_a_conversion_reads_them_all():
    words = told()
    for caution in (
        "The battery holds 84.0 V when full; above 60 V DC a touch can kill",
        "licensed electrician",
        "local electrical code decides",
        "Do not charge below 32 °F",
        "say lithium-ion",
        "Range is an estimate",
        "weight and axle ratings on the bike's plate",
        "ride it first on a quiet road",
        "Lift it only at its marked points",
        "torques on the handover sheet",
        "dangerous goods, class 9",
        "Local law decides on registration, inspection, insurance",
        "estimates until a competent person has verified them",
    ):
        assert caution in words, caution


def with_full_v(full_v: float | None) -> QuoteResult:
    result = quote(REQUEST)
    option = result.options[0]
    assert option.pack is not None
    return replace(result, options=(replace(option, pack=replace(option.pack, full_v=full_v)),))


def test_just_at_sixty_volts_the_danger_is_current():
    assert "gives very high current" in told(result=with_full_v(60.0))
    assert "above 60 V DC a touch can kill" in told(result=with_full_v(60.1))


def test_an_unknown_voltage_is_taken_as_dangerous():
    assert "The battery can exceed 60 V DC; above 60 V DC a touch can kill" in told(result=with_full_v(None))


def test_a_repair_without_a_battery_reads_the_general_ones():
    option = replace(REQUEST.options[0], parts=(), pack=None)
    words = told(replace(REQUEST, job="service", options=(option,)))
    assert "battery" not in words
    assert "Local law decides" in words


def test_a_kit_is_to_be_fitted_by_qualified_people():
    words = told(replace(REQUEST, job="parts_kit", donor=None))
    assert "installed and tested by people qualified for it" in words
    assert "above 60 V DC a touch can kill" in words
    assert "ride it first" not in words


def test_metric_shops_read_celsius_and_british_ones_british_words():
    words = told(replace(REQUEST, units="metric"), locale="en-GB")
    assert "Do not charge below 0 °C" in words
    assert "luggage and ageing reduce it" in words
