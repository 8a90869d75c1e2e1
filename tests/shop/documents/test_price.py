"""What is printed adds up: as strings, digit by digit, over random quotes and on a sheet worked by hand."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from functools import cache

import pytest

from quoting.example import example_request
from quoting.price import price_sheet
from quoting.request import Allowance, Policies
from shop.documents import QuoteDocument, document_html, document_pdf, quote_document
from shop.documents.pen import Pen
from shop.documents.price import PriceBlock, Sum, price_block
from shop.documents.quote import OptionSheet
from tests.shop.documents.made_issued import make_issued
from tests.shop.documents.random_quotes import random_quote
from tests.shop.documents.reading import cells_of, figure, lines_of, needs_pango

SEEDS = 500


@cache
def drawn(seed: int) -> tuple[QuoteDocument, int]:
    request, result, locale, digits = random_quote(seed)
    return quote_document(make_issued(request, result, locale=locale)), digits


def total_of(block: PriceBlock, digits: int) -> Decimal:
    return next(figure(row.amount, digits) for row in block.sums if row.look == "strong")


def assert_adds_up(option: OptionSheet, digits: int) -> None:
    """Lines to group sums, lines and taxes to the total, the total less allowance to what is paid."""
    block = option.price
    lines = Decimal(0)
    for group in block.groups:
        amounts = sum((figure(line.amount, digits) for line in group.lines), Decimal(0))
        if group.total:
            assert amounts == figure(group.total, digits), group
        lines += amounts
    taxes = sum((figure(row.amount, digits) for row in (*block.sums, *block.inside) if row.look == "tax"), Decimal(0))
    total = total_of(block, digits)
    if block.inside:
        assert lines == total
        assert figure(block.inside[0].amount, digits) + taxes == total
    else:
        assert figure(block.sums[0].amount, digits) == lines
        assert lines + taxes == total
    assert figure(block.total, digits) == total
    after = [figure(row.amount, digits) for row in block.sums[block.sums.index(strong(block)) + 1 :]]
    if after:
        allowance, to_pay = after
        assert total + allowance == to_pay
    assert figure(block.to_pay, digits) == (after[-1] if after else total)
    assert_front_adds_up(block, total, digits)


def strong(block: PriceBlock) -> Sum:
    return next(row for row in block.sums if row.look == "strong")


def assert_front_adds_up(block: PriceBlock, total: Decimal, digits: int) -> None:
    """The rows beside the total on the first page: groups and tax come to it; tax that is inside does not count."""
    parts = Decimal(0)
    for row in block.rows:
        parts += Decimal(0) if row.label == "Tax in it" else figure(row.amount, digits)
        if row.label in {"Tax", "Tax in it"}:
            break
    assert parts == total


def test_five_hundred_random_quotes_add_up_as_printed():
    seen = set()
    for seed in range(SEEDS):
        document, digits = drawn(seed)
        for option in document.options:
            assert_adds_up(option, digits)
            seen.add((bool(option.price.inside), len(document.options), digits, len(option.price.sums)))
    assert {kind[0] for kind in seen} == {True, False}  # tax included in prices, and added
    assert {kind[1] for kind in seen} == {1, 2, 3}
    assert {kind[2] for kind in seen} == {0, 2, 3}


@pytest.mark.parametrize("seed", range(0, 60, 2))
def test_the_page_shows_the_amounts_of_the_document_and_no_others(seed):
    document, _ = drawn(seed)
    rows = [row for row in cells_of(document_html(document), "lines") if len(row) == 4 and row[0] != "Item"]
    printed = [(line.label, line.quantity, line.each, line.amount) for o in document.options for g in o.price.groups
               for line in g.lines]  # fmt: skip
    assert [tuple(row) for row in rows] == [tuple(" ".join(cell.split()) for cell in line) for line in printed]


def amount_after(label: str, text: str) -> str:
    """What stands on the line of a label, or of its last words where it takes more lines than one."""
    words = r"\s+".join(re.escape(word) for word in label.split())
    found = re.search(rf"(?:^|\n|\. ){words}\s+([^\n]+)", text)
    assert found, label
    return found.group(1)


@needs_pango
@pytest.mark.parametrize("seed", [3, 4, 5, 8, 10, 12, 14, 18])
def test_amounts_read_back_from_the_pdf_add_up(seed):
    """Every line of an option ends in its amount; their sum, with the taxes' lines, is the total line's amount."""
    document, digits = drawn(seed)
    text = "\n".join(lines_of(document_pdf(document)))
    for option in document.options:
        block = option.price
        here = text[text.index(option.heading.replace("\xa0", " ") + "\nItem") :]
        lines = Decimal(0)
        for line in (line for group in block.groups for line in group.lines):
            read = amount_after(line.label, here)
            assert read.endswith(line.amount.replace("\xa0", " ")), read
            lines += figure(read[-len(line.amount) :], digits)
        rows = (*block.sums, *block.inside)
        read_sums = [(row.look, figure(amount_after(row.label, here), digits)) for row in rows]
        taxes = sum((amount for look, amount in read_sums if look == "tax"), Decimal(0))
        total = next(amount for look, amount in read_sums if look == "strong")
        assert lines + (Decimal(0) if block.inside else taxes) == total


def test_the_example_by_hand():
    """Parts 6,300.00 and hours 7,315.00 (77 h at 95.00), contingency 3 % of 13,615.00 = 408.45; 14,023.45 taxed at
    5 % = 701.1725 and 1.25 % = 175.293125, together 876.465625, rounded 876.47; split by largest remainder 701.18 (its
    exact share 701.1761) and 175.29. Total 14,899.92; 30 % of it 4,469.976, so 4,469.98.
    """
    (option,) = quote_document(make_issued()).options
    assert [(group.label, group.total) for group in option.price.groups] == [
        ("Parts", "6,300.00"),
        ("Work", "7,315.00"),
        ("Contingency", ""),
    ]
    assert option.price.sums == (
        Sum("Before tax", "14,023.45"),
        Sum("Example State, 5\xa0% on 14,023.45", "701.18", "tax"),
        Sum("Example County, 1.25\xa0% on 14,023.45", "175.29", "tax"),
        Sum("Total, tax included", "14,899.92", "strong"),
    )
    assert (option.price.total, option.price.deposit) == ("$14,899.92", "$4,469.98")
    assert option.price.tax_note == "Taxed in Example City, rates as of Mar\xa02,\xa02026."


def test_an_allowance_is_taken_off_after_tax():
    request = example_request()
    option = replace(request.options[0], allowance=Allowance(label="Engine taken in", amount=Decimal(500)))
    block = price_block(price_sheet(request, option), request.policies, Pen("en-US", "USD", "us"))
    assert block.sums[-2:] == (Sum("Engine taken in", "−500.00"), Sum("To pay", "14,399.92", "strong"))
    assert block.to_pay == "$14,399.92"
    assert [row.label for row in block.rows][-3:] == ["Engine taken in", "To pay", "Deposit for a place"]


def test_an_exempt_customer_reads_why_there_is_no_tax():
    policies = Policies(customer_tax_exempt=True, exempt_certificate="EX-77")
    request = replace(example_request(), policies=policies)
    block = price_block(price_sheet(request, request.options[0]), policies, Pen("en-US", "USD", "us"))
    assert block.tax_note == "Exempt from tax by certificate EX-77."
    assert [row.look for row in block.sums] == ["plain", "strong"]  # no authority is named that takes nothing


def test_a_sheet_without_a_tax_place_says_what_is_missing():
    request = replace(example_request(), tax_place=None)
    block = price_block(price_sheet(request, request.options[0]), request.policies, Pen("en-US", "USD", "us"))
    assert block.tax_note == "Tax is not known yet: tax place."
    assert block.total_words == "Total"


def test_a_line_begins_with_a_capital():
    request = example_request()
    part = replace(request.options[0].parts[0], name="hub motor 8 kW")
    option = replace(request.options[0], parts=(part,), steps=())
    block = price_block(price_sheet(request, option), request.policies, Pen("en-US", "USD", "us"))
    assert block.groups[0].lines[0].label == "Hub motor 8 kW"
