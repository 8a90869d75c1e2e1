"""The PDFs of quotes and receipts: accessible, complete, the same each time, and of the pages they should have.

Structure is read back with pikepdf, text with pypdfium2. What is asked: PDF/UA-1 (ISO 14289-1:2014), clause beside each
check; paper: ANSI Letter 8.5 x 11 in, ISO 216 A4.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import pikepdf
import pytest

from quoting.example import example_request
from shop.documents import document_pdf, quote_document, receipt_document
from tests.shop.documents.made_issued import ADDRESSEE, make_issued, make_options, make_receipt
from tests.shop.documents.reading import elements, needs_pango, opened, pages_of, text_of

pytestmark = needs_pango
ROOT = Path(__file__).resolve().parents[3]
KINDS = ("one option", "three options", "receipt")


def made(kind: str) -> bytes:
    if kind == "receipt":
        return document_pdf(receipt_document(make_receipt()))
    request = make_options(10, 12, 13) if kind == "three options" else example_request()
    return document_pdf(quote_document(make_issued(request)))


once_made = cache(made)


@pytest.fixture(params=KINDS)
def data(request: pytest.FixtureRequest) -> bytes:
    return once_made(request.param)


@pytest.fixture
def pdf(data: bytes) -> Iterator[pikepdf.Pdf]:
    with opened(data) as document:
        yield document


def test_it_says_that_it_is_accessible(pdf):
    with pdf.open_metadata() as metadata:
        assert metadata["pdfuaid:part"] == "1"  # clause 5
        assert "Harbor Lane Electrics" in metadata["dc:title"]  # clause 7.1
    assert bool(pdf.Root.MarkInfo.Marked)  # clause 7.1
    assert str(pdf.Root.Lang) == "en-US"  # clause 7.2
    assert bool(pdf.Root.ViewerPreferences.DisplayDocTitle)  # clause 7.1


def test_headings_skip_no_level(pdf):
    levels = [int(str(e.S)[2:]) for e in elements(pdf.Root.StructTreeRoot) if str(e.S).startswith("/H")]
    assert levels[0] == 1  # clause 7.4.2
    assert levels.count(1) == 1
    assert set(levels) == {1, 2}


def test_drawings_and_the_code_say_what_they_show(pdf):
    told = [str(element.Alt) for element in elements(pdf.Root.StructTreeRoot) if element.S == "/Figure"]
    assert told[0].startswith("Code to scan: leads to the live page of ")  # clause 7.3
    assert all(text.strip() for text in told)


def test_tables_have_headers_with_their_scope(pdf):
    tree = list(elements(pdf.Root.StructTreeRoot))
    cells = [element for element in tree if element.S == "/TH"]  # clause 7.5
    assert cells
    for cell in cells:
        attributes = cell.A if isinstance(cell.A, pikepdf.Array) else [cell.A]
        assert any("/Scope" in attribute for attribute in attributes)
    for table in (element for element in tree if element.S == "/Table"):
        assert any(element.S == "/TH" for element in elements(table))


def test_lists_hold_nothing_but_their_items(pdf):
    lists = [element for element in elements(pdf.Root.StructTreeRoot) if element.S == "/L"]
    assert lists
    for each in lists:
        kids = each.K if isinstance(each.K, pikepdf.Array) else [each.K]
        assert {str(kid.S) for kid in kids} == {"/LI"}  # ISO 32000-1 table 336


def test_everything_drawn_is_read_or_is_page_furniture(pdf):
    """Clause 7.1: every piece of content is reached by the structure tree or is an artifact."""
    reached = set()
    for element in elements(pdf.Root.StructTreeRoot):
        children = element.get("/K", [])
        for child in children if isinstance(children, pikepdf.Array) else [children]:
            if isinstance(child, int):
                reached.add((element.Pg.objgen, int(child)))
            elif "/MCID" in child:
                reached.add((child.get("/Pg", element.get("/Pg")).objgen, int(child.MCID)))
    for page in pdf.pages:
        for operation in pikepdf.parse_content_stream(page):
            if str(operation.operator) == "BDC" and "/MCID" in operation.operands[1]:
                assert (page.obj.objgen, int(operation.operands[1].MCID)) in reached


def test_all_fonts_are_inside_and_ours(pdf):
    """Clause 7.21.4.1: embedded. Ours, also in the chart: another machine's fonts would make another file."""
    fonts = [
        item for item in pdf.objects if isinstance(item, pikepdf.Dictionary) and item.get("/Type") == "/FontDescriptor"
    ]
    assert fonts
    for font in fonts:
        assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(font.keys())
        assert "Bench-Sans" in str(font.FontName)


def test_the_link_leads_to_the_customers_page(pdf):
    links = {str(note.A.URI) for page in pdf.pages for note in page.get("/Annots", [])}
    assert links == {"http://testserver/c/onlyAnInventedToken/"}


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_bytes_each_time(kind):
    assert made(kind) == once_made(kind)


def test_the_same_bytes_in_another_process():
    program = (
        "import sys, django; django.setup(); from tests.shop.documents.test_pdf import made;"
        "sys.stdout.buffer.write(made('one option'))"
    )
    result = subprocess.run(
        [sys.executable, "-c", program],
        cwd=ROOT,
        env={**os.environ, "DJANGO_SETTINGS_MODULE": "tests.settings", "PYTHONHASHSEED": "7"},
        capture_output=True,
        check=True,
    )
    assert result.stdout == once_made("one option")


def test_a_normal_build_takes_two_pages_the_promise_first():
    first, second = pages_of(once_made("one option"))
    for words in (
        "Quote Q-104", "version 1, full conversion", "Date Mar 2, 2026", "Valid until Apr 1, 2026", "Casey Example",
        "Example twin 400, 1979", "EX400-001979", "$14,899.92", "$4,469.98", "Apr 3 – 28, 2026",
        "Place 2 in line as of Mar 2, 2026.", "Decided by the hub motor 8 kW, ready Mar 31, 2026.", "43 to 51 mi",
        "28 to 34 mi", "At 32 °F", "39 mi", "Speed it holds 60 mph", "3 h 36 min", "rider 176 lb", "What is included",
        "Everything bolts to what is there", "Page 1 of 2", "What you should know",
    ):  # fmt: skip
        assert words in first, words
    for words in (
        "Every line", "Hub motor 8 kW 1 1,890.00 1,890.00", "Cell 4.5 Ah 240 5.40 1,296.00", "Fit and wire 24 h 95.00",
        "Before tax 14,023.45", "Example State, 5 % on 14,023.45 701.18", "Example County, 1.25 % on 14,023.45 175.29",
        "Total, tax included 14,899.92", "rates as of Mar 2, 2026", "Terms", "Refundable in full until",
        "hold until Apr 1, 2026", "then $25.00 a day", "Cautions", "licensed electrician", "Local law decides",
        "Accepted: $14,899.92, deposit $4,469.98.", "Casey Example Date Harbor Lane Electrics Date", "Page 2 of 2",
        "Q-104 version 1, ref ",
    ):  # fmt: skip
        assert words in second, words


def test_thirty_lines_with_long_words_still_take_two_pages():
    request = example_request()
    option = request.options[0]
    more = tuple(
        replace(option.parts[-1], code=f"H-{number}", kind="hardware", spec={}, name=f"Bracket set {number}, stainless")
        for number in range(5)
    )
    longer = replace(request, options=(replace(option, parts=(*option.parts, *more)),))
    assert len(pages_of(document_pdf(quote_document(make_issued(longer))))) == 2


def test_options_stand_side_by_side_first_then_line_by_line():
    pages = pages_of(once_made("three options"))
    assert "Your options side by side" in pages[0]
    assert "≠ Total, tax included $14,663.53 $14,899.92" in pages[0]
    for page, key in zip(pages[1:4], "ABC", strict=True):
        assert page.startswith(f"Option {key}, ")
        assert "Total, tax included" in page
    assert "Option A, $14,663.53" in pages[-1]
    assert "Option B, $14,899.92" in pages[-1]
    assert len(pages) == 5


def test_long_lists_repeat_their_head_and_leave_no_row_alone():
    """Lists whose page would end before the sums, before the last hour, before the work and before the last part."""
    request = example_request()
    option = request.options[0]
    for count in (36, 38, 42, 45):
        more = tuple(
            replace(option.parts[-1], code=f"H-{n}", kind="hardware", spec={}, name=f"Bracket {n}")
            for n in range(count)
        )
        longer = replace(request, options=(replace(option, parts=(*option.parts, *more)),))
        pages = pages_of(document_pdf(quote_document(make_issued(longer))))
        _, last = (page for page in pages if "Item Quantity Each USD" in page)
        begins = last.partition("Item Quantity Each USD ")[2]
        for alone in (f"Bracket {count - 1} ", "Test and road test", "Contingency", "Taxed in", "Before tax"):
            assert not begins.startswith(alone), count
        assert "Total, tax included" in last


@pytest.mark.parametrize(
    ("paper", "width_pt", "height_pt"),
    [
        ("Letter", 612, 792),  # 8.5 x 11 in at 72 pt/in
        ("A4", 595.28, 841.89),  # 210 x 297 mm at 72/25.4 pt/mm
    ],
)
def test_paper_is_the_shops(paper, width_pt, height_pt):
    data = document_pdf(quote_document(make_issued(paper=paper)))
    with opened(data) as document:
        sizes = {tuple(float(edge) for edge in page.MediaBox) for page in document.pages}
    assert len(sizes) == 1
    assert sizes.pop() == pytest.approx((0, 0, width_pt, height_pt), abs=0.01)
    assert len(pages_of(data)) == 2


@pytest.mark.parametrize(
    ("locale", "currency", "total"),
    [
        ("fr-FR", "EUR", "14 899,92 €"),
        ("en-GB", "GBP", "£14,899.92"),
        ("de-CH", "CHF", "CHF 14’899.92"),
        ("ar-KW", "KWD", "KWD 14,899.916"),
    ],
)
def test_money_of_other_places(locale, currency, total):
    """The example's 14,023.45 and its tax of 876.465625: to two decimals 876.47, to three 876.466."""
    request = replace(example_request(), currency=currency)
    assert total in text_of(document_pdf(quote_document(make_issued(request, locale=locale))))


def test_what_people_type_is_words_and_never_markup():
    issued = make_issued(name='<b>Bench</b> & "Sons"', deposit_terms="<script>alert(1)</script> {{ 7 }}")
    issued = replace(issued, facts=replace(issued.facts, addressee=replace(ADDRESSEE, name="O'Brien <i>& Co</i>")))
    text = text_of(document_pdf(quote_document(issued)))
    for words in ('<b>Bench</b> & "Sons"', "<script>alert(1)</script> {{ 7 }}", "O'Brien <i>& Co</i>"):
        assert words in text
