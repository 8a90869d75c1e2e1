"""VIN check digit and model-year code against 49 CFR 565.15 and published examples; `vininfo` as second opinion.

The tables and examples were read in public copies of the regulation and of the highway administration's outline.
"""

from __future__ import annotations

import random

import pytest
from vininfo import Vin

from quoting.vin import VALUES, WEIGHTS, YEAR_CODES, check_digit, check_vin, model_years

NA = "north america"
# (VIN, weighted sum, check digit it should carry, carries it): widely published; 49 CFR sample; outline; altered ones.
EXAMPLES = [
    ("1M8GDM9AXKP042788", 351, "X", True),
    ("11111111111111111", 89, "1", True),
    ("1G4AH59H45G118341", 411, "4", True),
    ("1J9RP1A36A1644345", 314, "6", True),
    ("1M8GDM9AXKP042789", 353, "1", False),  # last figure altered
    ("1M8GDM9AXKP024788", 349, "8", False),  # two neighbors swapped
]


@pytest.mark.parametrize(("vin", "total", "digit", "right"), EXAMPLES)
def test_published_examples(vin: str, total: int, digit: str, right: bool) -> None:
    assert sum(VALUES[letter] * weight for letter, weight in zip(vin, WEIGHTS, strict=True)) == total
    assert check_digit(vin) == digit
    assert (digit == vin[8]) is right
    year = model_years(vin[9])[0]
    assert check_vin(vin, year, NA).ok is right


def test_all_zeros_pass_the_arithmetic_and_are_refused_all_the_same() -> None:
    assert check_digit("0" * 17) == "0"
    assert check_vin("0" * 17, 2005, NA).level == "stop"


def test_the_library_vininfo_agrees_on_the_check_digit() -> None:
    draw = random.Random(565)  # noqa: S311 seeded test data, no secret
    letters, compared = sorted(VALUES), 0
    for _ in range(600):
        body = "1" + "".join(draw.choice(letters) for _ in range(16))
        body = body[:9] + draw.choice(YEAR_CODES) + body[10:]  # it answers nothing for year codes U, Z and 0
        right = body[:8] + check_digit(body) + body[9:]
        wrong = body[:8] + draw.choice([c for c in "0123456789X" if c != right[8]]) + body[9:]
        if getattr(Vin(right).assembler, "uses_sae_checkdigit", True):  # nor for makers it lists as going without
            assert Vin(right).verify_checksum() is True, right
            assert Vin(wrong).verify_checksum() is False, wrong
            compared += 1
    assert compared > 300


@pytest.mark.parametrize(
    ("code", "years"),
    [
        ("A", (1980, 2010)),
        ("H", (1987, 2017)),
        ("J", (1988, 2018)),
        ("N", (1992, 2022)),
        ("P", (1993, 2023)),
        ("R", (1994, 2024)),
        ("S", (1995, 2025)),
        ("T", (1996, 2026)),
        ("V", (1997, 2027)),
        ("Y", (2000, 2030)),
        ("1", (2001, 2031)),
        ("9", (2009, 2039)),
    ],
)
def test_model_year_codes(code: str, years: tuple[int, int]) -> None:
    assert model_years(code) == years


@pytest.mark.parametrize("code", ["I", "O", "Q", "U", "Z", "0", "", "AB"])
def test_codes_that_stand_for_no_year(code: str) -> None:
    assert model_years(code) == ()
