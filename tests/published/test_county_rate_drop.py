"""Streamlined Sales Tax rate file of Georgia: the share of county 195 drops from 4 % to 3 % on 2026-07-01.

The two rows as published (columns: state, jurisdiction type, code, general rate intrastate, interstate, food rates,
begin, end; 29991231 stands for open). The state's own rate is 4 %, so the combined rate falls from 8 to 7 %.
"""

from datetime import date, datetime
from decimal import Decimal

import pytest

from quoting.price import rate_problems
from quoting.request import Authority, DatedRate
from tests.quoting.price.quotes import authority, option, part, place, sheet

ROWS = ["13,00,195,0.04,0.04,0.04,0.04,20220401,20260630", "13,00,195,0.03,0.03,0.03,0.03,20260701,29991231"]


def dated(row: str) -> DatedRate:
    cells = row.split(",")
    begin, end = (datetime.strptime(cell, "%Y%m%d").date() for cell in cells[7:9])  # noqa: DTZ007 - a day has no zone
    return DatedRate(tax_class="parts", rate=Decimal(cells[3]), begin=begin, end=end)


RATES = tuple(dated(row) for row in ROWS)
COUNTY = Authority(name="County 195", level="county", rates=RATES)


def test_the_published_rows_have_no_gap_and_no_overlap() -> None:
    assert rate_problems(RATES) == ()


@pytest.mark.parametrize(
    ("day", "tax", "county"),
    [
        (date(2022, 4, 1), "80.00", "40.00"),
        (date(2026, 6, 30), "80.00", "40.00"),
        (date(2026, 7, 1), "70.00", "30.00"),
        (date(2999, 12, 31), "70.00", "30.00"),
    ],
)
def test_the_tax_date_chooses_the_rate(day: date, tax: str, county: str) -> None:
    priced = sheet(option([part("1000.00")]), place(authority("Georgia", "0.04"), COUNTY), day=day)
    assert priced.tax_total == Decimal(tax)
    assert priced.taxes[1].amount == Decimal(county)


def test_before_the_first_row_nothing_is_known() -> None:
    priced = sheet(option([part("1000.00")]), place(authority("Georgia", "0.04"), COUNTY), day=date(2022, 3, 31))
    assert priced.tax_total is None
    assert priced.missing == ("County 195: rate for parts on 2022-03-31",)
