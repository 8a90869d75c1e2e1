"""Streamlined Sales Tax rate and boundary files, in the layout of a state's published file description (West Virginia,
rate file: nine columns, no heading) and of public parsers (boundary file: 89 columns in Georgia and Minnesota, 90 in
Washington; rate file with a byte-order mark; county code without leading zeros). The two rate rows of Georgia's county
195 are as published; the other rows are invented in the same layout.
"""

from datetime import date
from decimal import Decimal

import pytest

from shop.importing.sst_rates import read_rates
from shop.importing.sst_zips import ZipCount, read_zips
from tests.shop.importing.sst import zip_row

GEORGIA = "13,00,195,0.04,0.04,0.04,0.04,20220401,20260630\n13,00,195,0.03,0.03,0.03,0.03,20260701,29991231\n"


@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_the_published_rows_of_georgia(mark: str) -> None:
    read = read_rates((mark + GEORGIA).encode(), "GAR2026Q3JUN05.csv")
    assert read.problems == ()
    assert [(row.code, row.level, row.rate, row.begin, row.end) for row in read.rows] == [
        ("13-00-195", "county", Decimal("0.04"), date(2022, 4, 1), date(2026, 6, 30)),
        ("13-00-195", "county", Decimal("0.03"), date(2026, 7, 1), None),
    ]


@pytest.mark.parametrize("columns", [60, 89, 90])
def test_the_count_of_columns_varies(columns: int) -> None:
    count = ZipCount()
    row = zip_row("Z", "98001", columns=columns, districts=("12",))
    (read,) = read_zips(row.encode(), "XXB2026Q3JUN05.csv", count)
    assert read.codes == ("98-45-98", "98-00-007", "98-01-04500", "98-63-00012")
    assert (read.begin, read.end, count.wrong) == (date(2024, 1, 1), None, 0)


def test_zip_plus_four_rows_keep_their_leading_zeros() -> None:
    row = zip_row("4", "601", "601", plus=("5", "120"))
    (read,) = read_zips(row.encode(), "XXB2026Q3JUN05.csv", ZipCount())
    assert (read.zip_low, read.zip_high, read.plus_low, read.plus_high) == ("00601", "00601", "0005", "0120")


def test_twenty_special_districts_fill_the_row() -> None:
    districts = tuple(str(number) for number in range(1, 21))
    (read,) = read_zips(zip_row("Z", "98001", districts=districts).encode(), "b.csv", ZipCount())
    assert len(read.codes) == 23
    assert read.codes[-1] == "98-63-00020"
