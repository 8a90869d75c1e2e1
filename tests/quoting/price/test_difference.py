from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from quoting.errors import RequestError
from quoting.price import price_difference, result_difference
from quoting.request import Discount, ExtraLine
from quoting.result import Finding, OptionResult, PriceSheet, Promise
from tests.quoting.price.quotes import Line, authority, extra, option, part, place, sheet, step

D = Decimal
STATE = place(authority("State", "0.10"))
BEFORE: list[Line] = [part("100"), part("40", "2", code="P2"), step("5", "80"), extra("30")]


def priced(lines: Sequence[Line], **fields: object) -> PriceSheet:
    return sheet(option(lines, **fields), STATE)


def test_a_quote_against_itself_is_empty() -> None:
    difference = price_difference(priced(BEFORE), priced(BEFORE))
    assert difference.is_empty
    assert [(total.label, total.amount) for total in difference.totals] == [("total", D(0)), ("due", D(0))]


def test_another_order_is_no_change() -> None:
    assert price_difference(priced(BEFORE), priced(BEFORE[::-1])).is_empty


def test_lines_added_removed_and_changed() -> None:
    # P2 from 2 to 3 pieces (+40), hours 5 to 6 (+80), freight gone (−30), a fee in (+12): +102; tax +10.20; +112.20.
    after: list[Line] = [part("100"), part("40", "3", code="P2"), step("6", "80"), extra("12", "fee", "fee")]
    difference = price_difference(priced(BEFORE), priced(after))
    assert [(c.change, c.code, c.amount, c.words) for c in difference.lines] == [
        ("changed", "P2", D(40), ("quantity 2 to 3",)),
        ("changed", "S1", D(80), ("quantity 5 to 6",)),
        ("added", "fee", D(12), ()),
        ("removed", "freight", D(-30), ()),
    ]
    changes = {total.label: total.amount for total in difference.totals}
    assert changes == {
        "parts": D(40),
        "hours": D(80),
        "extras": D(-18),
        "net": D(102),
        "tax": D("10.20"),
        "total": D("112.20"),
        "due": D("112.20"),
    }


def test_words_name_everything_that_changed_on_a_line() -> None:
    renamed = part("41.50", "2", code="P2", name="Shorter part", tax_class="vehicle")
    (change,) = price_difference(priced([part("40", "2", code="P2")]), priced([renamed])).lines
    assert change.words == (
        "label Part P2 to Shorter part",
        "unit price 40 to 41.50",
        "tax class parts to vehicle",
    )


def test_two_lines_of_one_code_pair_the_unchanged_one_first() -> None:
    before = [part("4", "2", unit="m"), part("4", "7", unit="m")]
    after = [part("4", "7", unit="m"), part("4", "3", unit="m")]
    (change,) = price_difference(priced(before), priced(after)).lines
    assert (change.change, change.words) == ("changed", ("quantity 2 to 3",))


def test_a_discount_shows_as_its_own_line() -> None:
    before, after = priced(BEFORE), priced(BEFORE, discount=Discount(reason="Winter", amount=D(10)))
    (change,) = price_difference(before, after).lines
    assert (change.change, change.group, change.amount) == ("added", "discount", D(-10))


def test_a_new_rate_is_noted() -> None:
    later = sheet(option(BEFORE), place(authority("State", "0.0725")))
    difference = price_difference(priced(BEFORE), later)
    assert difference.lines == ()
    assert difference.notes == ("State rate 10% to 7.25%.",)
    assert not difference.is_empty


def test_tax_that_was_not_known_has_no_difference() -> None:
    difference = price_difference(sheet(option(BEFORE)), priced(BEFORE))
    (tax,) = (total for total in difference.totals if total.label == "tax")
    assert (tax.before, tax.after, tax.amount) == (None, D("61.00"), None)
    assert difference.notes == ("Tax place none to Port Wren.",)


def test_two_currencies_cannot_be_compared() -> None:
    with pytest.raises(RequestError, match="USD cannot be compared with JPY"):
        price_difference(priced(BEFORE), sheet(option(BEFORE), STATE, currency="JPY"))


def result(lines: Sequence[Line], first: date | None, last: date | None, *titles: str) -> OptionResult:
    findings = tuple(Finding(rule=title, level="check", title=title, explanation="") for title in titles)
    promise = Promise(place=1, finish_from=first, finish_to=last)
    return OptionResult(key="a", label="A", price=priced(lines), findings=findings, rules_checked=2, promise=promise)


def test_a_change_order_shows_price_and_date() -> None:
    before = result(BEFORE, date(2026, 4, 1), date(2026, 4, 10), "Old", "Both")
    after = result([*BEFORE, part("50", code="P3")], date(2026, 4, 6), date(2026, 4, 22), "Both", "New")
    difference = result_difference(before, after)
    assert [change.code for change in difference.price.lines] == ["P3"]
    assert difference.finish_before == (date(2026, 4, 1), date(2026, 4, 10))
    assert difference.later_days == 12
    assert (difference.findings_new, difference.findings_gone) == (("New",), ("Old",))


def test_a_finish_that_is_not_known_has_no_difference() -> None:
    before = result(BEFORE, date(2026, 4, 1), date(2026, 4, 10))
    for after in (result(BEFORE, None, None), replace(before, promise=None)):
        difference = result_difference(before, after)
        assert (difference.finish_after, difference.later_days) == (None, None)


def test_two_fees_with_different_labels_are_not_one_changed_fee() -> None:
    pickup, plating = (
        ExtraLine(kind="fee", label=label, amount=D(20), tax_class="fee") for label in ("Pickup", "Plating")
    )
    changes = price_difference(priced([pickup]), priced([plating])).lines
    assert [(change.change, change.label) for change in changes] == [("added", "Plating"), ("removed", "Pickup")]
