"""Requests and results travel as JSON and come back the same; wrong input is named field by field."""

import json
from datetime import date
from decimal import Decimal
from typing import Any

import jsonschema
import pytest

from quoting.codec import from_json, json_schema, to_json
from quoting.errors import RequestError
from quoting.example import example_request
from quoting.request import DatedRate, QuoteRequest
from quoting.result import QuoteResult


def sent() -> dict[str, Any]:
    data: dict[str, Any] = json.loads(json.dumps(to_json(example_request())))
    return data


def problems_of(data: object) -> dict[str, str]:
    with pytest.raises(RequestError) as caught:
        from_json(QuoteRequest, data)
    return {problem.field: str(problem) for problem in caught.value.problems}


def test_request_comes_back_equal():
    assert from_json(QuoteRequest, sent()) == example_request()


def test_amounts_travel_as_text():
    assert sent()["options"][0]["parts"][0]["unit_price"] == "1890.00"


def test_request_fits_its_schema():
    schema = json_schema(QuoteRequest, QuoteResult)
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(sent(), schema)


def test_schema_refuses_a_float_amount():
    data = sent()
    data["options"][0]["parts"][0]["unit_price"] = 1890.5
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(data, {**json_schema(QuoteRequest), "$ref": "#/$defs/QuoteRequest"})


def test_missing_field_is_named():
    data = sent()
    del data["currency"]
    assert problems_of(data) == {"currency": "currency: is missing. Add it."}


def test_unknown_field_is_named_with_the_known_ones():
    data = sent()
    data["donor"]["kerb_lb"] = 400
    assert "Use one of family, label" in problems_of(data)["donor.kerb_lb"]


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        (("day",), "2 March", "not a date"),
        (("now",), "2026-03-02T09:00:00", "offset"),
        (("options", 0, "parts", 0, "quantity"), 1.5, 'such as "12.50"'),
        (("options", 0, "parts", 0, "quantity"), "NaN", "not a decimal"),
        (("options", 0, "pack", "series"), "20", "whole number"),
        (("options", 0, "pack", "series"), True, "whole number"),
        (("donor", "kerb_kg"), "182", "a number"),
        (("wishes", "two_up"), "no", "true or false"),
        (("shop", "zone"), 5, "text"),
        (("options",), {}, "a list"),
        (("donor",), [], "an object"),
    ],
)
def test_wrong_kind_is_named(path, value, words):
    data = sent()
    holder = data
    for step in path[:-1]:
        holder = holder[step]
    holder[path[-1]] = value
    found = problems_of(data)
    assert len(found) == 1
    assert words in next(iter(found.values()))


def test_all_problems_come_at_once():
    data = sent()
    data["day"], data["currency"] = "x", 7
    assert set(problems_of(data)) == {"day", "currency"}


def test_absent_optional_is_the_default():
    made = from_json(DatedRate, {"tax_class": "parts", "rate": "0.05", "begin": "2026-01-01"})
    assert made == DatedRate(tax_class="parts", rate=Decimal("0.05"), begin=date(2026, 1, 1))


def test_other_types_have_no_json_form():
    with pytest.raises(TypeError, match="set has no JSON form"):
        to_json({1, 2})
