from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from quoting.request import Allowance
from shop.documents import QuoteDocument, quote_document
from shop.documents.comparing import ComparedRow, Comparison
from tests.shop.documents.made_issued import make_issued, make_options


def comparison(document: QuoteDocument) -> Comparison:
    assert document.comparison is not None
    return document.comparison


def rows(compared: Comparison) -> dict[str, ComparedRow]:
    return {row.label.replace("\xa0", " "): row for row in compared.rows}


def test_the_same_rows_in_the_same_order_whatever_the_options():
    two, three = (comparison(quote_document(make_issued(make_options(*ps)))) for ps in ((10, 12), (12, 10, 13)))
    assert list(rows(two)) == list(rows(three))
    assert three.heads == ("A  12 in parallel", "B  10 in parallel", "C  13 in parallel")
    assert list(rows(two))[:4] == ["Total, tax included", "Tax in it", "Deposit for a place", "Finished"]


def test_differences_are_marked():
    told = rows(comparison(quote_document(make_issued(make_options(10, 12)))))
    assert told["Battery"].values == ("20s10p, 3.24\xa0kWh", "20s12p, 3.89\xa0kWh")  # 20 x 10 x 3.6 V x 4.5 Ah
    assert told["Battery"].differs
    assert told["Controller"].values == ("controller 220 A", "controller 220 A")
    assert not told["Controller"].differs
    assert told["Going back"].values == ("yes, nothing cut", "yes, nothing cut")


def test_the_totals_are_those_of_the_sheets():
    document = quote_document(make_issued(make_options(10, 12)))
    told = rows(comparison(document))
    assert told["Total, tax included"].values == tuple(option.price.total for option in document.options)
    assert told["Deposit for a place"].values == tuple(option.price.deposit for option in document.options)


def test_a_row_that_only_one_option_has_shows_a_dash_for_the_other():
    request = make_options(10, 12)
    first, second = request.options
    credited = replace(second, allowance=Allowance(label="Engine taken in", amount=Decimal(500)))
    told = rows(comparison(quote_document(make_issued(replace(request, options=(first, credited))))))
    assert told["Allowance"].values == ("–", "−$500.00")


def test_a_line_for_each_option_apart_in_gray():
    chart = comparison(quote_document(make_issued(make_options(10, 12, 13)))).chart
    assert chart is not None
    assert [(line.label, line.look, line.dashes) for line in chart.lines] == [
        ("A", "first", ""),
        ("B", "second", ""),
        ("C", "second", "5 4"),
    ]
    assert chart.title.startswith("Likely range against steady speed: A ")


def test_one_option_is_not_compared():
    document = quote_document(make_issued())
    assert document.comparison is None
    assert document.single is document.options[0]


def test_the_place_is_said_once():
    assert comparison(quote_document(make_issued(make_options(10, 12)))).places == (
        "Place 2 in line as of Mar\xa02,\xa02026, whichever is chosen."
    )
