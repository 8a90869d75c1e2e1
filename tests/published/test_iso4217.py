"""ISO 4217, list one: minor units. Reference values read from the public-domain data of PyPI iso4217 1.16.20260101;
all codes compared with the Unicode Common Locale Data Repository through Babel.
"""

import pytest
from babel.numbers import get_currency_precision

from quoting.errors import RequestError
from quoting.price import MINOR_DIGITS, minor_digits

# Where CLDR writes fewer decimals than ISO 4217 lists, because the coins are out of use; the standard stands.
CLDR_WRITES_FEWER = {"AFN", "ALL", "IQD", "IRR", "KPW", "LAK", "LBP", "MGA", "MMK", "RSD", "SOS", "SYP", "YER"}


@pytest.mark.parametrize(
    ("codes", "digits"),
    [
        ("USD EUR GBP CHF MGA", 2),
        ("JPY KRW ISK", 0),
        ("KWD BHD TND", 3),
        ("CLF UYW", 4),
    ],
)
def test_minor_units(codes: str, digits: int) -> None:
    assert {minor_digits(code) for code in codes.split()} == {digits}


def test_gold_has_no_minor_unit() -> None:
    with pytest.raises(RequestError):
        minor_digits("XAU")


def test_every_code_agrees_with_cldr_but_for_coins_out_of_use() -> None:
    differing = {code for code, digits in MINOR_DIGITS.items() if get_currency_precision(code) != digits}
    assert differing == CLDR_WRITES_FEWER
    assert all(get_currency_precision(code) == 0 for code in CLDR_WRITES_FEWER)


def test_the_list_is_whole() -> None:
    # 139 codes with two decimals, 17 with none, 7 with three, 2 with four
    counts = [list(MINOR_DIGITS.values()).count(digits) for digits in (2, 0, 3, 4)]
    assert counts == [139, 17, 7, 2]
