"""The sheet as a whole: lines, sums, cost and margin, refusals."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from quoting.errors import RequestError
from quoting.price import percent, price_sheet, without_costs
from quoting.request import Allowance, Discount, Policies
from tests.quoting.price.quotes import DAY, authority, extra, option, part, place, quote, sheet, step

D = Decimal
STATE = place(authority("State", "0.10"))


def test_a_whole_quote_by_hand() -> None:
    """
    Parts    2 × 1200.00 = 2400.00, 3.5 m × 4.995 = 17.4825 -> 17.48              2417.48
    Hours    12.5 h × 85.00                                                        1062.50
    Extras   freight 60.00, paint 350.00                                            410.00
    Contingency 5 % of 3479.98 = 173.999                                            174.00
    Sum of lines                                                                   4063.98
    Discount 2 % = 81.2796                                                          -81.28
    Net                                                                            3982.70
    Tax 10 % of everything                                                          398.27
    Total                                                                          4380.97
    Allowance for the old engine 400.00: due 3980.97; deposit 30 % = 1194.291      1194.29
    """
    made = option(
        [
            part("1200.00", "2"),
            part("4.995", "3.5", code="P2", unit="m"),
            step("12.5", "85.00"),
            extra("60.00"),
            extra("350.00", "outside", "fee"),
        ],
        contingency_rate=D("0.05"),
        discount=Discount(reason="Winter", rate=D("0.02")),
        allowance=Allowance(label="Old engine", amount=D("400.00")),
    )
    priced = sheet(made, STATE)
    sums = (priced.parts, priced.hours, priced.extras, priced.contingency, priced.discount)
    assert sums == (D("2417.48"), D("1062.50"), D("410.00"), D("174.00"), D("-81.28"))
    assert (priced.net, priced.tax_total, priced.total) == (D("3982.70"), D("398.27"), D("4380.97"))
    assert (priced.allowance, priced.due, priced.deposit) == (D("400.00"), D("3980.97"), D("1194.29"))
    assert [line.group for line in priced.lines] == [
        "parts",
        "parts",
        "hours",
        "extras",
        "extras",
        "contingency",
        "discount",
    ]
    assert [line.label for line in priced.lines[-2:]] == ["Contingency 5%", "Winter"]
    assert priced.quoted_h == D("12.5")
    assert (priced.priced_on, priced.valid_until) == (DAY, date(2026, 4, 1))  # 30 days on
    assert (priced.tax_place, priced.allowance_label) == ("Port Wren", "Old engine")


def test_an_empty_option_costs_nothing() -> None:
    priced = sheet(option(), STATE)
    assert (priced.lines, priced.total, priced.deposit, priced.margin_rate) == ((), D(0), D(0), None)


def test_estimated_steps_are_quoted_at_the_percentile_and_steps_without_hours_left_out() -> None:
    # beta(3, 3) on 4..8 h at 60 % is 6.21 h, by quarters 6.25 h × 80 = 500.00
    estimated = step(None, "80", low_h=D(4), likely_h=D(6), high_h=D(8))
    outside = step(None, "0", code="S2", lead_days=14)
    priced = sheet(option([estimated, outside]), STATE)
    assert [(line.code, line.quantity, line.amount) for line in priced.lines] == [("S1", D("6.25"), D("500.00"))]


def test_yen_have_no_decimals() -> None:
    # 3 × 33.4 = 100.2 -> 100; 10 % of 100 = 10; deposit 30 % of 110 = 33
    priced = sheet(option([part("33.4", "3")]), STATE, currency="JPY")
    assert [str(v) for v in (priced.net, priced.tax_total, priced.total, priced.deposit)] == ["100", "10", "110", "33"]


def test_dinars_have_three() -> None:
    # 1.2345 -> 1.235 (half up); 10 % = 0.1235 -> 0.124; total 1.359; deposit 0.4077 -> 0.408
    priced = sheet(option([part("1.2345")]), STATE, currency="KWD")
    shown = (priced.net, priced.tax_total, priced.total, priced.deposit)
    assert [str(value) for value in shown] == ["1.235", "0.124", "1.359", "0.408"]


def test_cost_and_margin_by_line_and_in_total() -> None:
    # Parts 1000 cost 600; hours 10 × 80 = 800 cost 10 × 45 = 450; freight 50 at cost; contingency 5 % of 1800 = 90,
    # cost 5 % of 1050 = 52.50; discount 40. Net 1900, cost 1152.50, margin 747.50 = 39.34 %.
    made = option(
        [part("500", "2", unit_cost=D(300)), step("10", "80", cost_rate=D(45)), extra("50", cost="50")],
        contingency_rate=D("0.05"),
        discount=Discount(reason="Winter", amount=D(40)),
    )
    priced = sheet(made, STATE)
    assert [line.margin for line in priced.lines] == [D(400), D(350), D(0), D("37.50"), D(-40)]
    assert [line.margin_rate for line in priced.lines[:3]] == [D("0.4"), D("0.4375"), D(0)]
    assert (priced.net, priced.cost, priced.margin) == (D(1900), D("1152.50"), D("747.50"))
    assert priced.margin_rate == D("747.50") / D(1900)


@pytest.mark.parametrize("line", [part("10", code="P9"), step("1", "10", code="S9"), extra("5")])
def test_one_cost_that_is_not_known_leaves_the_total_unknown(line: object) -> None:
    priced = sheet(option([part("500", unit_cost=D(300)), line]), STATE)  # type: ignore[list-item]
    assert (priced.cost, priced.margin, priced.margin_rate) == (None, None, None)
    assert [known.margin for known in priced.lines] == [D(200), None]


def test_included_tax_is_no_margin() -> None:
    # Gross 120 at 20 % is net 100; cost 60: margin 40, 40 %.
    priced = sheet(option([part("120", unit_cost=D(60))]), place(authority("Land", "0.20"), mode="included"))
    assert (priced.margin, priced.margin_rate, priced.lines[0].margin) == (D(40), D("0.4"), D(40))


def test_a_customers_copy_carries_no_cost_and_no_margin() -> None:
    priced = sheet(option([part("120", unit_cost=D("61.37"))], contingency_rate=D("0.1")), STATE)
    shown = without_costs(priced)
    assert "61.37" in repr(priced)
    assert "61.37" not in repr(shown)
    assert {(line.cost, line.margin, line.margin_rate) for line in shown.lines} == {(None, None, None)}
    assert (shown.cost, shown.margin, shown.margin_rate) == (None, None, None)
    assert (shown.total, shown.due) == (priced.total, priced.due)


def test_the_price_keeps_the_day_it_was_taken() -> None:
    taken = date(2026, 1, 15)
    assert sheet(option([part("1", priced_on=taken)]), STATE).lines[0].priced_on == taken


def test_an_allowance_settles_after_tax_and_may_exceed_the_price() -> None:
    # 100 + 10 tax − 150: the shop owes 40; no deposit is asked for.
    priced = sheet(option([part("100")], allowance=Allowance(label="Old engine", amount=D(150))), STATE)
    assert (priced.tax_total, priced.due, priced.deposit) == (D(10), D(-40), D(0))


def test_a_discount_larger_than_the_lines_is_refused() -> None:
    made = option([part("100")], discount=Discount(reason="?", amount=D("100.01")))
    with pytest.raises(RequestError, match=r"options\.a\.discount\.amount: is more than the lines come to"):
        sheet(made, STATE)
    free = sheet(replace(made, discount=Discount(reason="?", amount=D(100))), STATE)
    assert (free.net, free.tax_total, free.total) == (D(0), D(0), D(0))


@pytest.mark.parametrize(
    ("line", "field"),
    [
        (part("-1"), "parts.1 (P1).unit_price"),
        (part("1", "-2"), "parts.1 (P1).quantity"),
        (part("NaN"), "parts.1 (P1).unit_price"),
        (part("Infinity"), "parts.1 (P1).unit_price"),
        (part("1e9"), "parts.1 (P1).unit_price"),
        (part("1", unit_cost=D(-1)), "parts.1 (P1).unit_cost"),
        (part("1", tax_class="stuff"), "parts.1 (P1).tax_class"),
        (step("-1", "10"), "steps.1 (S1).hours"),
        (step("1", "-10"), "steps.1 (S1).rate"),
        (step("1", "10", cost_rate=D(-1)), "steps.1 (S1).cost_rate"),
        (step("1", "10", low_h=D(3), likely_h=D(2), high_h=D(4)), "steps.1 (S1).likely_h"),
        (step("1", "10", low_h=D(-3)), "steps.1 (S1).low_h"),
        (extra("-5"), "extras.1 (Freight).amount"),
        (extra("5", cost="-1"), "extras.1 (Freight).cost"),
    ],
)
def test_a_line_no_price_can_be_made_from_is_named(line: object, field: str) -> None:
    with pytest.raises(RequestError) as refused:
        sheet(option([line]), STATE)  # type: ignore[list-item]
    assert [problem.field for problem in refused.value.problems] == [f"options.a.{field}"]
    assert all(problem.remedy for problem in refused.value.problems)


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({"contingency_rate": D("1.5")}, "contingency_rate"),
        ({"discount": Discount(reason="", rate=D(5))}, "discount.rate"),
        ({"discount": Discount(reason="", rate=D("0.05"), amount=D(5))}, "discount"),
        ({"discount": Discount(reason="", amount=D(-5))}, "discount.amount"),
        ({"allowance": Allowance(label="", amount=D(-5))}, "allowance.amount"),
    ],
)
def test_what_is_taken_off_is_checked(fields: dict[str, object], field: str) -> None:
    with pytest.raises(RequestError) as refused:
        sheet(option([part("100")], **fields), STATE)
    assert [problem.field for problem in refused.value.problems] == [f"options.a.{field}"]


@pytest.mark.parametrize(
    ("policies", "field"),
    [
        (Policies(tax_rounding="cash"), "tax_rounding"),
        (Policies(hours_percentile=100), "hours_percentile"),
        (Policies(hours_step=D(0)), "hours_step"),
        (Policies(deposit_rate=D(30)), "deposit_rate"),
        (Policies(deposit_minimum=D(-1)), "deposit_minimum"),
        (Policies(deposit_fixed=D(-1)), "deposit_fixed"),
        (Policies(valid_days=-1), "valid_days"),
    ],
)
def test_a_policy_out_of_range_is_named(policies: Policies, field: str) -> None:
    with pytest.raises(RequestError) as refused:
        sheet(option([part("1")]), STATE, policies)
    assert [problem.field for problem in refused.value.problems] == [f"policies.{field}"]


def test_all_problems_are_told_at_once() -> None:
    with pytest.raises(RequestError) as refused:
        sheet(option([part("-1"), part("1", "-1", code="P2"), step("-1", "1")]), STATE, Policies(valid_days=-1))
    assert len(refused.value.problems) == 4


def test_an_unknown_currency_is_refused() -> None:
    made = option([part("1")])
    with pytest.raises(RequestError, match="currency"):
        price_sheet(quote(made, STATE, currency="ABC"), made)


@pytest.mark.parametrize(
    ("fraction", "words"), [("0.0725", "7.25%"), ("0.05", "5%"), ("0.1", "10%"), ("0", "0%"), ("1", "100%")]
)
def test_a_fraction_is_written_as_percent(fraction: str, words: str) -> None:
    assert percent(D(fraction)) == words
