from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from shop.documents import ReceiptDocument, document_html, document_pdf, receipt_document
from shop.documents.columns import PrintItem
from shop.documents.receipt import method_words
from shop.models import Method
from tests.shop.documents.made_issued import LETTERHEAD, TERMS, make_receipt
from tests.shop.documents.reading import needs_pango, pages_of


def terms(document: ReceiptDocument) -> list[PrintItem]:
    return [item for column in document.closing for block in column for item in block.items]


def test_what_was_received_and_what_is_left():
    """14,899.92 agreed less 4,469.98 is 10,429.94."""
    document = receipt_document(make_receipt())
    assert document.amount == "$4,469.98"
    assert document.sums == (("Agreed, Q-104 version 1", "14,899.92"), ("This deposit", "−4,469.98"))
    assert document.left == "$10,429.94"
    assert document.facts == (
        ("Received on", "Jan\xa08,\xa02026"),
        ("Paid by", "Check"),
        ("Reference", "no. 1182"),
        ("Taken by", "Robin Till"),
    )


def test_where_the_customer_stands():
    document = receipt_document(make_receipt())
    assert document.place == "Place 7 in line"
    assert document.window == "Mar 12 – Apr 2, 2026"


def test_an_earlier_deposit_is_counted():
    document = receipt_document(make_receipt(before=Decimal(1500), left=Decimal("8929.94")))
    assert ("Received before", "−1,500.00") in document.sums
    assert document.left == "$8,929.94"


def test_terms_and_what_happens_next():
    document = receipt_document(make_receipt())
    said = " ".join(f"{item.title}: {item.text}" for item in terms(document))
    assert f"Deposit: held for build B-7 until the final invoice. {TERMS}" in said
    assert "Tax: none is taken on a deposit" in said
    assert "Storage: free for 5 days after we tell you the bike is ready, then $25.00 a day." in said
    assert any("go on order" in step for step in document.happens)
    assert any("told the new one and the reason" in step for step in document.happens)


def test_a_shop_without_storage_fee_prints_none():
    letterhead = replace(LETTERHEAD, storage_fee=Decimal(0))
    assert [item.title for item in terms(receipt_document(make_receipt(letterhead=letterhead)))] == ["Deposit", "Tax"]


def test_a_place_nobody_kept_is_not_printed():
    document = receipt_document(make_receipt(place=None, finish_from=None, finish_to=None))
    assert (document.place, document.window) == ("", "")
    assert "Finished between" not in document_html(document)


def test_a_kit_has_no_bench():
    steps = receipt_document(make_receipt(is_kit=True)).happens
    assert not any("bench" in step for step in steps)


def test_a_reversed_deposit_is_void():
    document = receipt_document(make_receipt(reversed_on=date(2026, 1, 12)))
    assert document.void.replace("\xa0", " ") == "Void. This deposit was reversed on Jan 12, 2026."
    assert document.void in document_html(document)
    assert receipt_document(make_receipt()).void == ""


@pytest.mark.parametrize("method", Method.values)
def test_every_method_has_words(method):
    assert method_words(method, "en-US") == Method(method).label


def test_a_check_is_a_cheque_where_english_is_british():
    assert method_words("checks", "en-GB") == "Cheque"


@needs_pango
@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_one_page_with_everything_on_it(paper):
    letterhead = replace(LETTERHEAD, paper=paper)
    (text,) = pages_of(document_pdf(receipt_document(make_receipt(letterhead=letterhead))))
    for words in (
        "Receipt R-31", "Harbor Lane Electrics", "Received from", "Casey Example", "$4,469.98", "Check", "no. 1182",
        "Jan 8, 2026", "Build B-7", "Place 7 in line", "Mar 12 – Apr 2, 2026", "$10,429.94", "What happens next",
        TERMS, "R-31, build B-7", "Page 1 of 1",
    ):  # fmt: skip
        assert words in text, words
    assert "testserver/c/onlyAnInventedToken/" in text.replace(" ", "")
