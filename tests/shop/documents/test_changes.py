"""What a later version says it changes. Amounts worked by hand from the two versions' lines."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from quoting import QuoteRequest, quote
from quoting.example import example_request
from shop.documents import quote_document
from shop.documents.changes import Changes
from shop.selectors.documents import EarlierVersion
from tests.shop.documents.made_issued import make_issued, make_options

REQUEST = example_request()


def changes(before: QuoteRequest, after: QuoteRequest, option: int = 0) -> Changes | None:
    issued = replace(make_issued(after), version=2, earlier=EarlierVersion(number=1, result=quote(before)))
    return quote_document(issued).options[option].changes


def with_parts(*parts: object) -> QuoteRequest:
    option = replace(REQUEST.options[0], parts=parts, contingency_rate=Decimal(0))  # type: ignore[arg-type]
    return replace(REQUEST, options=(option,))


def test_lines_and_the_total():
    """The display of 160.00 goes, the fuse costs 40.00 instead of 32.00: 152.00 less, and 6.25 % tax on it, 9.50.
    13,615.00 x 1.0625 = 14,465.9375 before; 13,463.00 x 1.0625 = 14,304.4375 after.
    """
    parts = REQUEST.options[0].parts
    later = tuple(
        replace(part, unit_price=Decimal("40.00")) if part.code == "F-EX" else part
        for part in parts
        if part.code != "D-EX"
    )
    made = changes(with_parts(*parts), with_parts(*later))
    assert made is not None
    assert made.since == 1
    told = [sentence.replace("\xa0", " ") for sentence in made.sentences]
    assert "Total $14,465.94 before, $14,304.44 now." in told
    assert "Changed: fuse 200 A, 125 V DC (unit price 32.00 to 40.00) +8.00." in told
    assert "Removed: round display −160.00." in told


def test_a_first_version_and_an_unchanged_one_say_nothing():
    assert quote_document(make_issued()).options[0].changes is None
    assert changes(REQUEST, REQUEST) is None


def test_options_are_told_apart_by_their_key():
    before, after = make_options(10, 12), make_options(10, 13)
    assert changes(before, after, 0) is None
    made = changes(before, after, 1)
    assert made is not None
    assert any("quantity 240 to 260" in sentence for sentence in made.sentences)


def test_the_only_option_is_told_against_the_only_one_before_it():
    renamed = replace(REQUEST, options=(replace(REQUEST.options[0], key="B", contingency_rate=Decimal(0)),))
    made = changes(REQUEST, renamed)
    assert made is not None
    assert any(sentence.startswith("Removed: contingency 3%") for sentence in made.sentences)


def test_an_option_the_earlier_version_did_not_have_says_nothing():
    assert changes(make_options(10, 12), make_options(10, 12, 13), 2) is None


def test_another_currency_is_not_compared():
    assert changes(replace(REQUEST, currency="EUR"), REQUEST) is None
