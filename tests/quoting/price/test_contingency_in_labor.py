"""A contingency that has no line of its own: within the rates per hour, and nothing a customer could find."""

from decimal import Decimal

from quoting.codec import to_json
from quoting.price import without_costs
from quoting.request import Option
from tests.quoting.price.quotes import Line, authority, option, part, place, sheet, step

D = Decimal
LINES: list[Line] = [
    part("1000", unit_cost=D(700)),
    step("10", "80", cost_rate=D(40)),
    step("5", "100", code="S2", cost_rate=D(50)),
]


def hidden(**changed: object) -> Option:
    return option(LINES, contingency_rate=D("0.05"), contingency_in_labor=True, **changed)


def test_the_rates_rise_by_the_same_share_and_hours_times_rate_is_the_amount() -> None:
    # 5 % of 1000 + 800 + 500 = 115. Labor is 1300, so each rate × (1 + 115/1300): 80 -> 87.0769 -> 87.08,
    # 100 -> 108.846 -> 108.85. 10 × 87.08 + 5 × 108.85 = 870.80 + 544.25 = 1415.05, of which 115.05 is contingency.
    priced = sheet(hidden())
    assert [(line.unit_price, line.amount) for line in priced.lines if line.group == "hours"] == [
        (D("87.08"), D("870.80")),
        (D("108.85"), D("544.25")),
    ]
    assert (priced.contingency, priced.contingency_in_labor) == (D(0), D("115.05"))
    assert [line.group for line in priced.lines] == ["parts", "hours", "hours"]


def test_its_cost_goes_with_it() -> None:
    # Costs 700 + 400 + 250 = 1350; 5 % of it is 67.50.
    assert sheet(hidden()).cost == D("1417.50")
    assert sheet(option(LINES, contingency_rate=D("0.05"))).cost == D("1417.50")


def test_it_is_taxed_as_the_labor_it_is_printed_as() -> None:
    parts_only = place(authority("State", "0.10", fabrication_labor=None))
    assert sheet(hidden(), parts_only).tax_total == D(100)  # 10 % of the parts
    assert sheet(option(LINES, contingency_rate=D("0.05")), parts_only).tax_total == D(105)  # and of its 50 for parts


def test_a_customers_sheet_says_nothing_of_it() -> None:
    shown = without_costs(sheet(hidden()))
    assert shown.contingency_in_labor is None
    assert "115.05" not in str(to_json(shown))


def test_without_hours_it_keeps_its_line() -> None:
    priced = sheet(option(LINES[:1], contingency_rate=D("0.05"), contingency_in_labor=True))
    assert (priced.contingency, priced.lines[-1].group) == (D(50), "contingency")
