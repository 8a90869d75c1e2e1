"""Tax on a sheet: by class, authority, date, cap, threshold, exemption and rounding."""

from datetime import date
from decimal import Decimal

import pytest

from quoting.errors import RequestError
from quoting.price import exempt_in_force
from quoting.request import Authority, DatedRate, Discount, Policies
from tests.quoting.price.quotes import (
    amounts,
    authority,
    extra,
    not_taxed,
    option,
    part,
    place,
    quote,
    rate,
    sheet,
    step,
)

D = Decimal
STACK = place(
    authority("State", "0.06"),
    authority("County", "0.01", level="county", freight=None),
    authority("City", "0.005", level="city", fabrication_labor=None, freight=None),
)


def one(tax_class: str, value: str, **fields: object) -> Authority:
    return Authority(name="State", level="state", rates=(rate(tax_class, value, **fields),))


def test_each_authority_taxes_what_it_taxes() -> None:
    # Parts 1000, labor 500, freight 80. State 6 % of 1580 = 94.80; county 1 % of 1500 = 15; city 0.5 % of 1000 = 5.
    priced = sheet(option([part("1000"), step("5", "100"), extra("80")]), STACK)
    assert amounts(priced) == {"State": D("94.80"), "County": D("15.00"), "City": D("5.00")}
    assert [share.taxable for share in priced.taxes] == [D(1580), D(1500), D(1000)]
    assert [share.level for share in priced.taxes] == ["state", "county", "city"]
    assert (priced.net, priced.tax_total, priced.total) == (D("1580.00"), D("114.80"), D("1694.80"))


def test_the_line_type_decides_the_tax() -> None:
    """Public practitioner report, case C34: repair labor untaxed when split out, parts and fabrication taxed."""
    texan = place(authority("State", "0.0625", repair_labor=None))
    fabrication = sheet(option([part("800"), step("10", "90")]), texan)
    repair = sheet(option([part("800"), step("10", "90", tax_class="repair_labor")]), texan)
    assert fabrication.tax_total == D("106.25")  # 6.25 % of 800 + 900
    assert repair.tax_total == D("50.00")  # 6.25 % of 800
    assert repair.taxes[0].taxable == D(800)


def test_a_rounded_total_is_shared_by_greatest_remainder() -> None:
    # 7.25 at 5, 0.9 and 2 %: 0.3625 + 0.06525 + 0.145 = 0.57275 -> 0.57.
    # Shares of 57 cents: 36.08, 6.49, 14.43: 36 + 6 + 14 = 56, the one left goes to .49.
    stack = place(authority("A", "0.05"), authority("B", "0.009"), authority("C", "0.02"))
    priced = sheet(option([part("7.25")]), stack)
    assert amounts(priced) == {"A": D("0.36"), "B": D("0.07"), "C": D("0.14")}


def test_tax_by_line_rounds_every_line_and_by_invoice_once() -> None:
    # 5.5 % of 0.99 is 0.05445. Ten lines: 10 × 0.05 = 0.50; one invoice: 0.5445 -> 0.54.
    made = option([part("0.99", code=f"P{n}") for n in range(10)])
    stack = place(authority("State", "0.055"))
    assert sheet(made, stack, Policies(tax_rounding="line")).tax_total == D("0.50")
    assert sheet(made, stack, Policies(tax_rounding="invoice")).tax_total == D("0.54")


def test_tax_by_rate_rounds_every_combined_rate() -> None:
    # Parts 10.05 + 10.05 at 10 % = 2.01; freight 0.25 at 2 % = 0.005 -> 0.01 by rate: 2.02.
    # Once for the invoice: 2.015 -> 2.02. With freight 0.24: 0.0048 -> 0.00 by rate: 2.01; by invoice 2.0148 -> 2.01.
    # With parts 10.04 twice: 2.008 -> 2.01 and 0.0048 -> 0.00: 2.01; by invoice 2.0128 -> 2.01; by line 1.00 + 1.00.
    stack = place(authority("State", "0.10", freight="0.02"))
    made = option([part("10.04"), part("10.04", code="P2"), extra("0.25")])
    # by rate 2.01 + 0.01; by invoice 2.008 + 0.005 = 2.013; by line 1.004, 1.004, 0.005 -> 1.00 + 1.00 + 0.01
    totals = {mode: sheet(made, stack, Policies(tax_rounding=mode)).tax_total for mode in ("rate", "invoice", "line")}
    assert totals == {"rate": D("2.02"), "invoice": D("2.01"), "line": D("2.01")}


def test_the_rate_of_the_day_is_used() -> None:
    rates = (
        DatedRate(tax_class="parts", rate=D("0.04"), begin=date(2025, 1, 1), end=date(2025, 12, 31)),
        DatedRate(tax_class="parts", rate=D("0.05"), begin=date(2026, 1, 1)),
    )
    stack = place(Authority(name="State", level="state", rates=rates))
    made = option([part("200")])
    assert sheet(made, stack, day=date(2025, 12, 31)).tax_total == D("8.00")
    new_year = sheet(made, stack, day=date(2026, 1, 1))
    assert (new_year.tax_total, new_year.taxes[0].rates, new_year.tax_as_of) == (
        D("10.00"),
        (D("0.05"),),
        date(2026, 1, 1),
    )


def test_a_cap_limits_what_is_taxable_on_the_document() -> None:
    # Two parts, 4000 and 3000, capped at 5000: 1 % of 5000.
    stack = place(one("parts", "0.01", cap=D(5000)))
    priced = sheet(option([part("4000"), part("3000", code="P2")]), stack)
    assert (priced.tax_total, priced.taxes[0].taxable) == (D("50.00"), D("5000.00"))
    assert sheet(option([part("5000")]), stack).tax_total == D("50.00")
    assert sheet(option([part("4999")]), stack).tax_total == D("49.99")


def test_a_cap_per_item_counts_pieces() -> None:
    # 2 pieces of 4000 and 1 of 6000, each capped at 5000: 4000 × 2 + 5000 = 13 000; 1 % is 130.
    stack = place(one("parts", "0.01", cap=D(5000), per_item=True))
    assert sheet(option([part("4000", "2"), part("6000", code="P2")]), stack).tax_total == D("130.00")
    # A length is one item: 3 m at 2000 is 6000, capped at 5000.
    assert sheet(option([part("2000", "3", unit="m")]), stack).tax_total == D("50.00")


def test_a_threshold_leaves_out_what_lies_below() -> None:
    # 10 % of what exceeds 110: 150 -> 4.00; 110 -> 0; 109 -> 0.
    stack = place(one("parts", "0.10", threshold=D(110)))
    assert [sheet(option([part(price)]), stack).tax_total for price in ("150", "110", "109")] == [D(4), D(0), D(0)]


def test_threshold_and_cap_make_a_band() -> None:
    # Taxed from 1600 to 3200: 2.75 % of 1600 at most = 44.00; at 2000 2.75 % of 400 = 11.00.
    stack = place(one("parts", "0.0275", threshold=D(1600), cap=D(1600), per_item=True))
    assert [sheet(option([part(p)]), stack).tax_total for p in ("5000", "2000", "1600")] == [D(44), D(11), D(0)]


def test_a_cap_by_line_adds_up_to_the_same_base() -> None:
    stack = place(one("parts", "0.01", cap=D(5000)))
    priced = sheet(option([part("4000"), part("3000", code="P2")]), stack, Policies(tax_rounding="line"))
    # 4000/7000 of 5000 = 2857.142857 -> 28.57; 3000/7000 of 5000 = 2142.857143 -> 21.43
    assert priced.tax_total == D("50.00")


def test_the_discount_lowers_the_tax_of_every_class_in_proportion() -> None:
    # Parts 600 at 10 %, labor 400 untaxed; 100 off: 60 off parts. Tax 10 % of 540 = 54, not 10 % of 600 or of 500.
    stack = place(authority("State", "0.10", fabrication_labor=None))
    off = Discount(reason="Returning customer", amount=D(100))
    priced = sheet(option([part("600"), step("4", "100")], discount=off), stack)
    assert (priced.net, priced.tax_total, priced.taxes[0].taxable) == (D(900), D(54), D(540))


def test_the_contingency_is_taxed_like_the_parts_and_hours_it_stands_for() -> None:
    # Parts 600 at 10 %, labor 400 untaxed, freight 50 untaxed; 5 % of 1000 = 50, of which 30 count as parts.
    stack = place(authority("State", "0.10", fabrication_labor=None, freight=None))
    made = option([part("600"), step("4", "100"), extra("50")], contingency_rate=D("0.05"))
    priced = sheet(made, stack)
    assert (priced.contingency, priced.tax_total, priced.taxes[0].taxable) == (D(50), D(63), D(630))


def test_prices_that_include_tax_hold_the_total() -> None:
    # 120.00 gross at 20 %: tax 120 × 0.2/1.2 = 20.00, net 100.00.
    priced = sheet(option([part("60", "2")]), place(authority("Land", "0.20"), mode="included"))
    assert (priced.total, priced.net, priced.tax_total, priced.tax_mode) == (D(120), D(100), D(20), "included")
    assert priced.taxes[0].taxable == D(100)


def test_included_tax_of_two_authorities_is_shared() -> None:
    # Gross 113.00 at 5 + 8 %: net 100, taxes 5 and 8.
    stack = place(authority("Federal", "0.05"), authority("Province", "0.08"), mode="included")
    priced = sheet(option([part("113")]), stack)
    assert amounts(priced) == {"Federal": D("5.00"), "Province": D("8.00")}
    assert [share.taxable for share in priced.taxes] == [D(100), D(100)]


def test_included_tax_is_rounded_for_each_rate() -> None:
    # 10.00 at 20 %: 1.6667 -> 1.67; 10.00 at 5 %: 0.47619 -> 0.48; sum 2.15. Rounded once it would be 2.14286 -> 2.14.
    stack = place(authority("Land", "0.20", freight="0.05"), mode="included")
    priced = sheet(option([part("10"), extra("10")]), stack)
    assert (priced.tax_total, priced.net, priced.taxes[0].taxable) == (D("2.15"), D("17.85"), D("17.85"))
    assert priced.taxes[0].rates == (D("0.20"), D("0.05"))


def test_no_tax_place_is_never_zero_tax() -> None:
    priced = sheet(option([part("100")]))
    assert (priced.tax_total, priced.taxes, priced.total, priced.missing) == (None, (), D("100.00"), ("tax place",))


def test_a_rate_nobody_entered_is_never_zero_tax() -> None:
    stack = place(authority("State", "0.06"), Authority(name="City", level="city", rates=(rate("parts", "0.01"),)))
    priced = sheet(option([part("100"), extra("20")]), stack)
    assert (priced.tax_total, priced.total) == (None, D("120.00"))
    assert priced.missing == ("City: rate for freight on 2026-03-02",)


def test_a_rate_that_has_ended_is_missing() -> None:
    stack = place(one("parts", "0.06", end=date(2026, 3, 1)))
    assert sheet(option([part("100")]), stack).missing == ("State: rate for parts on 2026-03-02",)
    assert sheet(option([part("100")]), stack, day=date(2026, 3, 1)).tax_total == D("6.00")


def test_a_class_without_an_amount_needs_no_rate() -> None:
    outside = step("0", "0", tax_class="repair_labor", lead_days=10)
    priced = sheet(option([part("100"), outside, extra("0")]), place(one("parts", "0.06")))
    assert (priced.tax_total, priced.missing) == (D("6.00"), ())


def test_a_place_without_authorities_is_missing_not_free() -> None:
    assert sheet(option([part("100")]), place()).missing == ("tax authorities of Port Wren",)


def test_stated_as_not_taxed_is_zero_and_shown() -> None:
    free = place(Authority(name="State", level="state", rates=(not_taxed("parts"),)))
    priced = sheet(option([part("100")]), free)
    assert (priced.tax_total, amounts(priced), priced.taxes[0].rates) == (D("0.00"), {"State": D("0.00")}, ())


def test_included_tax_that_is_not_known_leaves_the_margin_unknown() -> None:
    priced = sheet(option([part("100", unit_cost=D(60))]), place(mode="included"))
    assert (priced.tax_total, priced.total, priced.cost, priced.margin) == (None, D("100.00"), D("60.00"), None)


EXEMPT = Policies(customer_tax_exempt=True, exempt_certificate="EX-0412")


def test_an_exempt_customer_pays_no_tax_and_the_sheet_says_so() -> None:
    priced = sheet(option([part("100"), extra("20")]), STACK, EXEMPT)
    assert (priced.tax_total, priced.total) == (D("0.00"), D("120.00"))
    assert amounts(priced) == {"State": D(0), "County": D(0), "City": D(0)}


@pytest.mark.parametrize(
    "policies",
    [
        Policies(customer_tax_exempt=True, exempt_certificate="EX-0412", exempt_expired=True),
        Policies(customer_tax_exempt=True, exempt_certificate="EX-0412", exempt_not_yet=True),
        Policies(customer_tax_exempt=True, exempt_certificate="  "),
        Policies(customer_tax_exempt=False, exempt_certificate="EX-0412"),
    ],
)
def test_an_exemption_that_does_not_hold_is_taxed(policies: Policies) -> None:
    assert not exempt_in_force(policies)
    assert sheet(option([part("100")]), STACK, policies).tax_total == D("7.50")


def test_an_exempt_customer_is_shown_prices_without_the_tax_they_include() -> None:
    # 2 × 60.00 gross at 20 % is 100.00 net; 10 % discount of that is 10.00.
    stack = place(authority("Land", "0.20"), mode="included")
    made = option([part("60", "2", unit_cost=D(30))], discount=Discount(reason="Fleet", rate=D("0.10")))
    priced = sheet(made, stack, EXEMPT)
    assert (priced.lines[0].unit_price, priced.lines[0].amount) == (D("50.00"), D("100.00"))
    assert (priced.tax_mode, priced.tax_total, priced.total, priced.margin) == ("added", D(0), D(90), D(30))


def test_two_rates_on_one_day_are_refused() -> None:
    twice = Authority(name="State", level="state", rates=(rate("parts", "0.05"), rate("parts", "0.06")))
    with pytest.raises(RequestError, match=r"State.*2 rates for parts on 2026-03-02.*End one"):
        sheet(option([part("1")]), place(twice))


def test_a_rate_typed_as_percent_is_refused() -> None:
    with pytest.raises(RequestError, match=r"Enter 7.25 % as 0.0725"):
        sheet(option([part("1")]), place(one("parts", "7.25")))


def test_caps_where_prices_include_tax_are_refused() -> None:
    stack = place(one("parts", "0.05", cap=D(10)), mode="included")
    with pytest.raises(RequestError, match="caps and thresholds of State"):
        sheet(option([part("1")]), stack)


def test_an_unknown_mode_is_refused() -> None:
    with pytest.raises(RequestError, match=r"tax_place\.mode: 'none' is unknown"):
        sheet(option([part("1")]), place(authority("State", "0.05"), mode="none"), EXEMPT)


def test_the_request_is_left_alone() -> None:
    request = quote(option([part("100")]), STACK)
    before = repr(request)
    sheet(request.options[0], STACK)
    assert repr(request) == before
