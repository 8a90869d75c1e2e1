"""What the shop pays and earns is on no document, not in its text and not in its code."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

import pikepdf
import pytest

from quoting import QuoteRequest, quote
from quoting.example import example_request
from shop.documents import QuoteDocument, document_html, document_pdf, quote_document
from shop.selectors.document_facts import Decided
from tests.shop.documents.made_issued import make_issued, make_options
from tests.shop.documents.random_quotes import random_quote
from tests.shop.documents.reading import needs_pango, opened, text_of

DESK_WORDS = re.compile(r"\b(cost|costs|margin|markup|landed|supplier)\b", re.IGNORECASE)


def without_costs(request: QuoteRequest) -> QuoteRequest:
    """The same request as a shop has it that knows no cost at all."""
    return replace(
        request,
        options=tuple(
            replace(
                option,
                parts=tuple(replace(part, unit_cost=None) for part in option.parts),
                steps=tuple(replace(step, cost_rate=None) for step in option.steps),
                extras=tuple(replace(extra, cost=None) for extra in option.extras),
            )
            for option in request.options
        ),
    )


def plain(document: QuoteDocument) -> QuoteDocument:
    """Without the fingerprint of the request, which is another when the costs are."""
    return replace(document, head=replace(document.head, ref=""))


@pytest.mark.parametrize("seed", range(40))
def test_a_document_is_the_same_whatever_things_cost(seed):
    """No figure that depends on a cost can be in it: not rounded, not in a sum, not as a share."""
    request, result, locale, _ = random_quote(seed)
    other_request, other_result, _, _ = random_quote(seed, with_costs=False)
    assert result.options[0].price.lines[0].cost is not None
    known = quote_document(make_issued(request, result, locale=locale))
    unknown = quote_document(make_issued(other_request, other_result, locale=locale))
    assert plain(known) == plain(unknown)


@pytest.mark.parametrize("request_of", [example_request, lambda: make_options(10, 12, 13)])
def test_also_with_findings_about_the_margin_and_their_decisions(request_of):
    """The margin falls under a floor of 90 %, and where it is not known a finding says so: both stay at the desk."""
    request = request_of()
    request = replace(request, policies=replace(request.policies, margin_floor=Decimal("0.90")))
    result, blind = quote(request), quote(without_costs(request))
    assert "margin-under-floor" in {finding.rule for finding in result.options[0].findings}
    assert "price.margin_rate" in {name for finding in blind.options[0].findings for name in finding.missing}
    decisions = tuple(
        Decided(option=option.key, rule=finding.rule, reason="agreed, cost 0.70 of list, margin 30 %")
        for option in result.options
        for finding in option.findings
        if finding.rule in {"margin-under-floor", "not-checked"}
    )
    known = quote_document(make_issued(request, result, decisions=decisions))
    assert plain(known) == plain(quote_document(make_issued(without_costs(request), blind, decisions=decisions)))


def test_costs_are_taken_off_before_a_line_is_looked_at(odd, monkeypatch):
    """Whoever adds a column later has no cost at hand to print."""
    seen = []
    monkeypatch.setattr("shop.documents.price._line", lambda line, pen: seen.append(line))
    quote_document(make_issued(odd))
    assert seen
    assert {(line.cost, line.margin, line.margin_rate) for line in seen} == {(None, None, None)}


def staff_figures(request: QuoteRequest) -> Iterator[str]:
    """Each cost and margin of the example, in total and by line, as it would be written and as it is stored."""
    for option in quote(request).options:
        sheet = option.price
        for amount in (sheet.cost, sheet.margin, *(line.cost for line in sheet.lines)):
            assert amount is not None
            yield from (f"{amount:,.2f}", str(amount))
    for line in request.options[0].parts:
        yield str(line.unit_cost)


def strings(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for item in value:
            yield from strings(item)
    elif dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            yield from strings(getattr(value, field.name))


@pytest.fixture
def odd() -> QuoteRequest:
    """The example with costs of odd cents, so that none of them is a price as well."""
    request = example_request()
    option = request.options[0]
    parts = tuple(
        replace(part, unit_cost=part.unit_price * Decimal("0.6137") + Decimal("0.0271")) for part in option.parts
    )
    return replace(request, options=(replace(option, parts=parts),))


def test_no_cost_is_in_what_the_template_is_given(odd):
    document = quote_document(make_issued(odd))
    given = " ".join(strings(document))
    prices = given.replace(",", "")
    for number in staff_figures(odd):
        assert not re.search(rf"(?<![\d.]){re.escape(number)}(?![\d])", given), number
        assert not re.search(rf"(?<![\d.]){re.escape(number)}(?![\d])", prices), number
    assert not DESK_WORDS.search(given)


def test_no_cost_is_in_the_page(odd):
    html = document_html(quote_document(make_issued(odd)))
    for number in staff_figures(odd):
        assert not re.search(rf"(?<![\d.]){re.escape(number)}(?![\d])", html), number
    assert not DESK_WORDS.search(html)


@needs_pango
def test_no_cost_is_in_the_pdf_neither_drawn_nor_in_its_data(odd):
    data = document_pdf(quote_document(make_issued(odd)))
    text = text_of(data)
    for number in staff_figures(odd):
        assert not re.search(rf"(?<![\d.]){re.escape(number)}(?![\d])", text), number
    assert not DESK_WORDS.search(text)
    with opened(data) as pdf:
        assert not pdf.attachments
        words = [str(item[key]) for item in pdf.objects if isinstance(item, pikepdf.Dictionary)
                 for key in ("/Alt", "/ActualText", "/Title", "/Contents") if key in item]  # fmt: skip
        assert words
        assert not DESK_WORDS.search(" ".join(words))
