"""Figures by the shop's locale, currency and units. Expected forms: CLDR, as printed in its charts; from memory."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from shop.documents.pen import Pen, drawable, mid_sentence
from shop.documents.spelling import is_british, language_of, spelled

HARD = "\u00a0"


@pytest.mark.parametrize(
    ("locale", "currency", "amount", "written"),
    [
        ("en-US", "USD", "17885.41", "$17,885.41"),
        ("en-US", "USD", "-500", "−$500.00"),  # a real minus sign
        ("fr-FR", "EUR", "17885.41", f"17{HARD}885,41{HARD}€"),
        ("en-GB", "GBP", "17885.4", "£17,885.40"),
        ("ja-JP", "JPY", "2234989", "¥2,234,989"),  # our font lacks the wide yen sign of Japanese text
        ("en-US", "KWD", "4618.975", f"KWD{HARD}4,618.975"),  # three decimals, ISO 4217; a code keeps a space
        ("ar-KW", "KWD", "4618.975", f"KWD{HARD}4,618.975"),
        ("en-IN", "INR", "100000", f"INR{HARD}1,00,000.00"),  # our font lacks the rupee sign; lakhs are grouped by two
    ],
)
def test_money(locale, currency, amount, written):
    assert Pen(locale, currency, "us").money(Decimal(amount)) == written


def test_a_column_leaves_the_sign_to_its_head():
    assert Pen("fr-FR", "EUR", "us").amount(Decimal("-1234.5")) == f"−1{HARD}234,50"
    assert Pen("en-US", "USD", "us").amount(Decimal("3.845")) == "3.845"  # unit prices keep their places


@pytest.mark.parametrize(
    ("locale", "day", "window"),
    [
        ("en-US", f"Mar{HARD}2,{HARD}2026", "Mar 12 – Apr 2, 2026"),
        ("en-GB", f"2{HARD}Mar{HARD}2026", "12 Mar – 2 Apr 2026"),
        ("fr-FR", f"2{HARD}mars{HARD}2026", "12 mars – 2 avr. 2026"),
        ("ja-JP", "2026/03/02", "Mar 12 – Apr 2, 2026"),  # what our font cannot draw is written in English
    ],
)
def test_days(locale, day, window):
    pen = Pen(locale, "USD", "us")
    assert pen.day(date(2026, 3, 2)) == day
    assert pen.window(date(2026, 3, 12), date(2026, 4, 2)) == window


def test_measures_in_either_units():
    """NIST SP 811: 100 km = 62.1 mi, 97 km/h = 60.3 mph, 182 kg = 401.2 lb; 0 degC is 32 degF."""
    us, metric = Pen("en-US", "USD", "us"), Pen("fr-FR", "EUR", "metric")
    assert [us.distance(100), us.speed(97), us.mass(182), us.temperature(0)] == [
        f"62{HARD}mi",
        f"60{HARD}mph",
        f"401{HARD}lb",
        f"32{HARD}°F",
    ]
    assert [metric.distance(100), metric.speed(97), metric.mass(182), metric.temperature(0)] == [
        f"100{HARD}km",
        f"97{HARD}km/h",
        f"182{HARD}kg",
        f"0{HARD}°C",
    ]
    assert us.distances(70, 83) == f"43 to 52{HARD}mi"  # 43.5 and 51.6
    assert metric.energy(3888) == f"3,89{HARD}kWh"
    assert metric.percent(0.0725) == f"7,25{HARD}%"


def test_marks_of_a_sentence_follow_the_locale_and_dates_and_codes_stay():
    pen = Pen("fr-FR", "EUR", "metric")
    assert pen.marks("84.0 V at 2,800 A, see B-1.") == f"84,0 V at 2{HARD}800 A, see B-1."


def test_british_words():
    assert spelled("Rear tire, aging, labor at the center", "en-GB") == "Rear tyre, ageing, labour at the centre"
    assert spelled("Tires, tired", "en-AU") == "Tyres, tired"
    for locale in ("en-US", "fr-FR", "en", "not-a-locale"):
        assert spelled("Rear tire", locale) == "Rear tire"
    assert [is_british(locale) for locale in ("en-IE", "en-PH", "de-DE")] == [True, False, False]


def test_the_words_are_english_whatever_the_figures():
    assert [language_of(locale) for locale in ("en-US", "en-GB", "fr-FR", "ja-JP")] == ["en-US", "en-GB", "en", "en"]


def test_what_our_font_draws():
    assert drawable("ż Ž ß € −1 – 2…")
    assert not drawable("￥")
    assert not drawable("₹")


def test_a_name_inside_a_sentence():
    assert [mid_sentence(name) for name in ("Hub motor", "BMS 20s", "x")] == ["hub motor", "BMS 20s", "x"]
