"""PDF output: readable by screen readers, and the same bytes each time.

Structure is read back with pikepdf and text with pypdfium2, neither of which made the file. What is asked of the
structure: PDF/UA-1 (ISO 14289-1:2014), clause beside each check; page sizes: ANSI Letter 8.5 x 11 in, ISO 216 A4.
"""

import io
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pikepdf
import pypdfium2
import pytest

from shop import pdf

pytestmark = pytest.mark.skipif(
    bool(pdf.missing_libraries()) and not os.environ.get("CI"), reason=f"Pango is missing. {pdf.PANGO_REMEDY}"
)

ROW_COUNT = 60
ROWS = "".join(
    f"<tr><th>Part {row}</th><td>Cable, ż Ω → ✓ € − ≈</td><td>$1,0{row:02}.00</td></tr>" for row in range(ROW_COUNT)
)
DOCUMENT = f"""<!doctype html>
<html lang="en-US"><head><title>Quote Q-104</title>
<meta name="dcterms.created" content="2026-03-01T12:00:00Z">
<style>
@page {{ margin: 18mm 16mm 22mm; @bottom-left {{ content: string(ref) }}
         @bottom-right {{ content: "Page " counter(page) " of " counter(pages) }} }}
h1 {{ string-set: ref content() }}
</style></head>
<body><h1>Quote Q-104</h1><h2>Lines</h2>
<table><thead><tr><th>Part</th><th>What</th><th>Price</th></tr></thead><tbody>{ROWS}</tbody></table>
<h2>Range</h2><p>See <a href="https://bench.example.com/q/104">the live page</a>.</p>
<svg viewBox="0 0 10 10" width="80" role="img">
<title>Range in town: 48 to 60 miles</title><rect width="5" height="5"/></svg>
</body></html>"""


@pytest.fixture(scope="module")
def made() -> bytes:
    return pdf.render_pdf(DOCUMENT)


@pytest.fixture
def opened(made: bytes) -> Iterator[pikepdf.Pdf]:
    with pikepdf.open(io.BytesIO(made)) as document:
        yield document


def elements(node: Any) -> Iterator[Any]:
    """Every structure element below a node, in reading order."""
    children = node.get("/K", [])
    for child in children if isinstance(children, pikepdf.Array) else [children]:
        if isinstance(child, pikepdf.Dictionary) and "/S" in child:
            yield child
            yield from elements(child)


def tags(document: pikepdf.Pdf) -> list[str]:
    return [str(element.S) for element in elements(document.Root.StructTreeRoot)]


def texts(data: bytes) -> list[str]:
    document = pypdfium2.PdfDocument(data)
    try:
        return [page.get_textpage().get_text_range() for page in document]
    finally:
        document.close()


def test_it_says_that_it_is_accessible(opened):
    with opened.open_metadata() as metadata:
        assert metadata["pdfuaid:part"] == "1"  # clause 5
        assert metadata["dc:title"] == "Quote Q-104"  # clause 7.1
    assert bool(opened.Root.MarkInfo.Marked)  # clause 7.1
    assert str(opened.Root.Lang) == "en-US"  # clause 7.2
    assert bool(opened.Root.ViewerPreferences.DisplayDocTitle)  # clause 7.1


def test_headings_follow_each_other(opened):
    assert [tag for tag in tags(opened) if tag.startswith("/H")] == ["/H1", "/H2", "/H2"]  # clause 7.4.2


def test_a_drawing_reads_as_its_title(opened):
    figures = [element for element in elements(opened.Root.StructTreeRoot) if element.S == "/Figure"]
    assert [str(figure.Alt) for figure in figures] == ["Range in town: 48 to 60 miles"]  # clause 7.3


def test_every_header_cell_says_what_it_heads(opened):
    cells = [element for element in elements(opened.Root.StructTreeRoot) if element.S == "/TH"]  # clause 7.5
    scopes = []
    for cell in cells:
        attributes = cell.A if isinstance(cell.A, pikepdf.Array) else [cell.A]
        scopes += [str(attribute.Scope) for attribute in attributes if "/Scope" in attribute]
    assert len(scopes) == len(cells)
    assert scopes.count("/Row") == ROW_COUNT
    assert scopes.count("/Column") == 3 * len(opened.pages)  # the head is repeated on each page


def test_page_furniture_is_not_read_aloud(opened):
    """Clause 7.1: running headers and footers are artifacts. Two on each page, left and right."""
    for page in opened.pages:
        marked = [
            (str(operation.operands[0]), str(operation.operands[1].get("/Type", "")))
            for operation in pikepdf.parse_content_stream(page)
            if str(operation.operator) == "BDC"
        ]
        assert marked.count(("/Artifact", "/Pagination")) == 2


def test_marked_content_and_structure_agree(opened):
    """Every piece of a page's content is either reached by the structure tree or an artifact (clause 7.1)."""
    reached = set()
    for element in elements(opened.Root.StructTreeRoot):
        children = element.get("/K", [])
        for child in children if isinstance(children, pikepdf.Array) else [children]:
            if isinstance(child, int):
                reached.add((element.Pg.objgen, int(child)))
            elif "/MCID" in child:
                reached.add((child.get("/Pg", element.get("/Pg")).objgen, int(child.MCID)))
    on_pages = {
        (page.obj.objgen, int(operation.operands[1].MCID))
        for page in opened.pages
        for operation in pikepdf.parse_content_stream(page)
        if str(operation.operator) == "BDC" and "/MCID" in operation.operands[1]
    }
    assert on_pages == reached


def test_links_are_printed_and_lead_where_they_say(opened):
    links = [annotation for page in opened.pages for annotation in page.get("/Annots", [])]
    assert [str(link.A.URI) for link in links] == ["https://bench.example.com/q/104"]
    assert [int(link.F) for link in links] == [4]  # ISO 32000-1 table 165: bit 3, print


def test_all_fonts_are_inside_and_ours(opened):
    """Clause 7.21.4.1: embedded. Ours: the machine's own fonts would make another file of the same quote."""
    fonts = [
        item
        for item in opened.objects
        if isinstance(item, pikepdf.Dictionary) and item.get("/Type") == "/FontDescriptor"
    ]
    assert fonts
    for font in fonts:
        assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(font.keys())
        assert "Bench-Sans" in str(font.FontName)


def test_the_text_can_be_read_back(made):
    pages = texts(made)
    assert len(pages) > 1
    for number, text in enumerate(pages, start=1):
        assert f"Page {number} of {len(pages)}" in text
    whole = "".join(pages)
    assert "$1,059.00" in whole
    assert "ż Ω → ✓ € − ≈" in whole


def test_the_same_document_gives_the_same_bytes(made):
    assert pdf.render_pdf(DOCUMENT) == made


def test_the_same_document_gives_the_same_bytes_in_another_process(made, tmp_path):
    (tmp_path / "quote.html").write_text(DOCUMENT, encoding="utf-8")
    program = (
        "import sys, pathlib; from shop.pdf import render_pdf;"
        "sys.stdout.buffer.write(render_pdf(pathlib.Path(sys.argv[1]).read_text(encoding='utf-8')))"
    )
    result = subprocess.run(
        [sys.executable, "-c", program, tmp_path / "quote.html"],
        cwd=Path(__file__).resolve().parents[2],
        env={**os.environ, "DJANGO_SETTINGS_MODULE": "tests.settings", "PYTHONHASHSEED": "7"},
        capture_output=True,
        check=True,
    )
    assert result.stdout == made


@pytest.mark.parametrize(
    ("page_size", "width_pt", "height_pt"),
    [
        ("Letter", 612, 792),  # 8.5 x 11 in at 72 pt/in
        ("A4", 595.28, 841.89),  # 210 x 297 mm at 72/25.4 pt/mm
    ],
)
def test_page_sizes(page_size, width_pt, height_pt):
    with pikepdf.open(io.BytesIO(pdf.render_pdf(DOCUMENT, page_size=page_size))) as document:
        sizes = {tuple(float(edge) for edge in page.MediaBox) for page in document.pages}
    assert len(sizes) == 1
    assert sizes.pop() == pytest.approx((0, 0, width_pt, height_pt), abs=0.01)


def test_our_own_files_and_images_in_the_page_are_used():
    dot = "data:image/gif;base64,R0lGODlhAQABAIAAAAAAAP///ywAAAAAAQABAAACAUwAOw=="
    body = f"<img alt=mark src='app:///favicon.svg' width=32><img alt=dot src='{dot}'>"
    with pikepdf.open(io.BytesIO(pdf.render_pdf(f"<html lang=en><title>x</title>{body}"))) as document:
        alternatives = [str(e.Alt) for e in elements(document.Root.StructTreeRoot) if e.S == "/Figure"]
    assert alternatives == ["mark", "dot"]


def test_without_pango_the_message_says_what_to_type(monkeypatch):
    def no_library(name: str) -> None:
        raise OSError("cannot load library 'libpango-1.0-0'")

    pdf.engine.cache_clear()
    monkeypatch.setattr("importlib.import_module", no_library)
    with pytest.raises(pdf.PdfUnavailable, match=r"Pango is missing.*apt-get install"):
        pdf.render_pdf(DOCUMENT)
    pdf.engine.cache_clear()


def test_it_works_again_in_the_next_request_once_pango_is_there(monkeypatch):
    with monkeypatch.context() as patch:
        patch.setattr("importlib.import_module", lambda name: (_ for _ in ()).throw(OSError("no")))
        pdf.engine.cache_clear()
        with pytest.raises(pdf.PdfUnavailable):
            pdf.engine()
    assert pdf.render_pdf("<html lang=en><title>x</title><p>x").startswith(b"%PDF-")
