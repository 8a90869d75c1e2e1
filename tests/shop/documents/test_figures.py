"""The sheet of figures: four drawings an option, each with its words and the same as numbers."""

from __future__ import annotations

from dataclasses import replace

from quoting.example import example_request
from shop.documents import document_html, document_pdf, figures_document
from tests.shop.documents.made_issued import make_issued, make_options
from tests.shop.documents.reading import elements, needs_pango, opened, pages_of

TITLES = ("Range against steady speed", "Wheel power against speed", "Pack voltage under load", "Loads:")


def test_each_option_has_its_four_drawings_with_title_words_and_numbers():
    document = figures_document(make_issued(make_options(4, 6)))
    assert [option.key for option in document.options] == ["A", "B"]
    html = document_html(document)
    for option in document.options:
        assert [chart.title.startswith(title) for chart, title in zip(option.charts, TITLES, strict=True)] == [True] * 4
        for chart in option.charts:
            assert html.count(f'id="chart-{option.key}-{chart.key}"') == 1
            assert chart.description in html
            assert all(cell in html for cell in chart.rows[-1])


def test_without_a_bike_only_the_pack_is_drawn():
    document = figures_document(make_issued(replace(example_request(), donor=None)))
    assert [option.heading for option in document.options] == ["The build drawn"]
    assert [chart.title.split(":")[0] for chart in document.options[0].charts] == ["Pack voltage under load"]


@needs_pango
def test_an_option_fills_a_page_and_every_drawing_is_told_in_words():
    data = document_pdf(figures_document(make_issued(make_options(4, 6))))
    pages = pages_of(data)
    assert len(pages) == 2
    assert all("A competent person verifies them" in page or "Page 1" in page for page in pages)
    with opened(data) as pdf:
        drawn = [node for node in elements(pdf.Root.StructTreeRoot) if str(node.get("/S")) == "/Figure"]
        told = [str(node.get("/Alt", "")) for node in drawn]
    assert sum(any(text.startswith(title) for title in TITLES) for text in told) == 8
    assert all(told)
