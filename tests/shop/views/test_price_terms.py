"""Contingency within the hours and learned hours at the Counter: staff see both, a customer neither."""

from __future__ import annotations

from decimal import Decimal

from django.urls import reverse

from shop.documents import document_html, quote_document
from shop.models import OptionStep
from shop.selectors.documents import issued_quote
from shop.selectors.quotes import worked_out
from tests.shop.made_counter import Counter
from tests.shop.made_quotes_offered import offer
from tests.shop.views.test_change_orders import text


def test_the_contingency_is_put_within_the_hours(counter: Counter):
    answer = counter.post("option-price", "A", price__contingency_rate="5", price__contingency_in_labor="on")
    assert answer.status_code == 200
    assert counter.option.contingency_in_labor
    sheet = worked_out(counter.version).options[0].price
    assert (sheet.contingency, bool(sheet.contingency_in_labor)) == (Decimal(0), True)
    page = text(counter.client.get(reverse("quote", args=[counter.quote.public_id])))
    assert f"Contingency within the hours {sheet.contingency_in_labor:,.2f}" in page


def test_a_customers_paper_does_not_say_so(counter: Counter):
    counter.post("option-price", "A", price__contingency_rate="5", price__contingency_in_labor="on")
    sheet = worked_out(counter.version).options[0].price
    html = document_html(quote_document(issued_quote(offer(counter.version))))
    assert "ontingency" not in html
    assert f"{sheet.contingency_in_labor:,.2f}" not in html


def test_a_step_says_what_shifted_its_hours(counter: Counter):
    OptionStep.objects.filter(option=counter.option, code="pack").update(
        learned_factor=Decimal("1.12"), learned_builds=6
    )
    page = text(counter.client.get(reverse("quote", args=[counter.quote.public_id])))
    assert "× 1.12 from 6 builds" in page
    assert "Estimates follow finished builds" in page
    html = document_html(quote_document(issued_quote(offer(counter.version))))
    assert "finished build" not in html
