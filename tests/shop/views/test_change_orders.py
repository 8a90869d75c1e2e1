"""Change orders on screen and on paper: begun, looked at, agreed, dropped; what a customer sees and never sees."""

from __future__ import annotations

import re
from decimal import Decimal
from html import unescape
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from quoting import QuoteResult, from_json
from shop.documents import change_document, document_html
from shop.models import Build, ChangeOrder, LedgerEntry, OptionExtra, Shop
from shop.selectors.change_page import change_page
from shop.services.quotes import part_change, version_decline
from tests.shop.documents.reading import needs_pango, pages_of
from tests.shop.made_changes import begin, offer
from tests.shop.made_day import Day
from tests.shop.queries import queries_of
from tests.shop.views.guards import DESK, assert_guarded

D = Decimal


def at(change: ChangeOrder, name: str = "change") -> str:
    return reverse(name, args=[change.public_id])


def text(answer: Any) -> str:
    """What is read on a page: without tags, blanks as one."""
    words = unescape(re.sub(r"<[^>]*>", " ", answer.content.decode()))
    return re.sub(r"\s+([,.:;])", r"\1", " ".join(words.split()))


def agreed(**changed: Any) -> dict[str, Any]:
    return {"key": "k-1", "agreed_by": "Alex Example", "agreed_how": "signed", "agreed_on": "2026-03-02", **changed}


@pytest.fixture
def desk(client_as) -> Client:
    client: Client = client_as("counter")
    return client


def test_who_may_change_a_build(day: Day, client_as):
    assert_guarded(client_as, "change-new", day.build.public_id, roles=DESK)
    assert_guarded(client_as, "change", day.change.public_id, roles=DESK)
    assert_guarded(client_as, "change-document", day.change.public_id, roles=DESK)
    assert_guarded(client_as, "change-agreed", day.change.public_id, roles=DESK, post_only=True)
    assert_guarded(client_as, "change-drop", day.change.public_id, roles=DESK, post_only=True)


def test_it_begins_at_the_build_and_goes_on_at_the_counter(day: Day, desk: Client):
    new = reverse("change-new", args=[day.build.public_id])
    assert new in desk.get(reverse("build", args=[day.build.public_id])).content.decode()
    refused = desk.post(new, {"reason": ""})
    assert (refused.status_code, ChangeOrder.objects.count()) == (422, 0)
    answer = desk.post(new, {"reason": "side cases"})
    change = ChangeOrder.objects.get()
    assert answer["Location"] == reverse("quote", args=[change.version.quote.public_id])
    counter = text(desk.get(answer["Location"]))
    assert f"Change order {change.number} to {day.build.number}: side cases" in counter
    assert "The promise stays." in counter


def test_the_counter_says_what_each_edit_does_to_the_build(day: Day, desk: Client):
    change, _ = begin(day.build, None)
    quote = reverse("quote", args=[change.version.quote.public_id])
    fields = {"kind": "fee", "label": "Decals", "amount": "40", "cost": "", "tax_class": "fee"}
    desk.post(f"{quote}A/extras/", {f"extra-{name}": value for name, value in fields.items()})
    assert "+$40.00 to what was agreed" in text(desk.get(quote))


def test_a_second_change_is_refused_with_what_to_do(day: Day, desk: Client):
    begin(day.build, None)
    answer = desk.post(reverse("change-new", args=[day.build.public_id]), {"reason": "more"})
    assert answer.status_code == 422
    assert "is a draft already" in text(answer)


def test_the_page_shows_price_finish_and_lines(day: Day, desk: Client):
    page = desk.get(at(day.change))
    assert page.context["page"].effect.due_change == D("40.00")
    said = text(page)
    for words in ("+$40.00", "Decals", "added", "Promised so far", "Expected with it", "The promise stays."):
        assert words in said


def test_both_agree_and_the_build_follows(day: Day, desk: Client):
    before = day.build.total
    answer = desk.post(at(day.change, "change-agreed"), agreed(other_payer="Tidewater Insurance"))
    assert answer["Location"] == at(day.change)
    assert Build.objects.get(pk=day.build.pk).total == before + 40
    said = text(desk.get(at(day.change)))
    assert "Alex Example, signed on paper, Mar 2, 2026" in said
    assert "Tidewater Insurance" in said
    again = desk.post(at(day.change, "change-agreed"), agreed())
    assert (again.status_code, Build.objects.get(pk=day.build.pk).total) == (302, before + 40)


def test_what_was_typed_stays_when_something_is_missing(day: Day, desk: Client):
    answer = desk.post(at(day.change, "change-agreed"), agreed(agreed_by="", other_payer="Tidewater Insurance"))
    assert answer.status_code == 422
    assert 'value="Tidewater Insurance"' in answer.content.decode()
    assert ChangeOrder.objects.get().accepted_at is None


def test_a_deposit_with_it_gets_its_receipt(day: Day, desk: Client):
    no_way = desk.post(at(day.change, "change-agreed"), agreed(amount="20"))
    assert (no_way.status_code, "Choose how it was paid." in text(no_way)) == (422, True)
    answer = desk.post(at(day.change, "change-agreed"), agreed(amount="20", method="cash"))
    entry = LedgerEntry.objects.order_by("-number")[0]
    assert answer["Location"] == reverse("deposit-taken", args=[entry.public_id])
    assert entry.postings.get().amount == 20


def test_only_the_owner_is_asked_whether_to_go_without_the_deposit(day: Day, shop: Shop, client_as):
    ChangeOrder.objects.filter(pk=day.change.pk).update(deposit=D(20))
    counter, owner = client_as("counter"), client_as("owner")
    assert "Go on with less" not in text(counter.get(at(day.change)))
    assert "Go on with less" in text(owner.get(at(day.change)))
    refused = counter.post(at(day.change, "change-agreed"), agreed(allow_less="on"))
    assert refused.status_code == 422
    assert owner.post(at(day.change, "change-agreed"), agreed(allow_less="on")).status_code == 302


def test_a_declined_one_asks_for_nothing_and_changes_nothing(day: Day, desk: Client):
    version_decline(version=day.change.version, person=None)
    assert "is declined" in text(desk.get(at(day.change)))
    assert desk.post(at(day.change, "change-agreed"), agreed()).status_code == 409
    assert Build.objects.get(pk=day.build.pk).total == day.build.total


def test_a_draft_is_dropped_and_an_offered_one_is_not(day: Day, desk: Client):
    draft, _ = begin(day.build, None)
    assert "Drop it" in text(desk.get(at(draft)))
    assert desk.get(at(draft, "change-pdf")).status_code == 409
    answer = desk.post(at(draft, "change-drop"))
    assert answer["Location"] == reverse("build", args=[day.build.public_id])
    offered = day.change
    desk.post(at(offered, "change-drop"))
    assert ChangeOrder.objects.filter(pk=offered.pk).exists()


def test_a_deposit_for_a_new_build_is_barred(day: Day, desk: Client):
    page = desk.get(reverse("deposit-take", args=[day.change.version.public_id]))
    assert "Accept it at its own page" in text(page)


def test_the_customer_sees_it_behind_the_link_and_nobody_else_does(day: Day):
    stranger, token = Client(), day.build.link_token
    mine = reverse("customer-change-document", args=[token, day.change.public_id])
    page = stranger.get(reverse("customer-page", args=[token]))
    assert "A change is offered to you" in text(page)
    assert mine in page.content.decode()
    assert stranger.get(mine).status_code == 200
    assert stranger.get(reverse("customer-change-document", args=["x" * 22, day.change.public_id])).status_code == 404
    draft = begin(day.build, None)[0]
    assert stranger.get(reverse("customer-change-document", args=[token, draft.public_id])).status_code == 404


def money_of_ours(change: ChangeOrder) -> set[str]:
    """Costs, margins and margin rates of both versions, as anybody would write them."""
    figures: set[str] = set()
    for version in (change.base, change.version):
        price = from_json(QuoteResult, version.result).options[0].price
        each: Any
        for each in (price, *price.lines):
            figures |= {f"{value:,.2f}" for value in (each.cost, each.margin) if value}
            figures |= {f"{each.margin_rate:.4f}"} if each.margin_rate else set()
        figures -= {f"{line.amount:,.2f}" for line in price.lines}
        figures -= {f"{line.unit_price:,.2f}" for line in price.lines}
    return figures


def test_no_cost_and_no_margin_is_on_the_customers_paper(day: Day):
    change, option = begin(day.build, None, reason="two chargers")
    part = option.parts.get(component__code="CAB-B")
    part_change(part=part, person=None, quantity=part.quantity + 3)
    offered = offer(change)
    ours = money_of_ours(offered)
    assert len(ours) > 10
    html = document_html(change_document(offered))
    assert "battery cable" in html.lower()
    assert {figure for figure in ours if figure in html} == set()
    assert not any(word in html.lower() for word in ("margin", "markup", "unit_cost"))


def test_staff_see_cost_and_margin_of_the_change(day: Day, desk: Client):
    price = from_json(QuoteResult, day.change.version.result).options[0].price
    cost = next(line.cost for line in price.lines if line.cost)
    assert f"{cost:,.2f}" in text(desk.get(at(day.change)))


def test_the_paper_names_both_payers_and_the_difference(day: Day, boss: User):
    paper = change_document(day.change)
    assert (paper.difference, paper.window_words) == ("+$40.00", "The promise stays.")
    assert [(row.what, row.label, row.difference) for row in paper.rows] == [("Added", "Decals", "+40.00")]
    html = document_html(paper)
    assert "Anybody else who pays" in html
    assert day.customer.name in html


def test_queries_do_not_grow_with_the_lines(day: Day, shop: Shop):
    change, option = begin(day.build, None)
    few = queries_of(lambda: change_page(change.public_id))
    for number in range(12):
        OptionExtra.objects.create(option=option, kind="fee", label=f"Fee {number}", amount=D(1), tax_class="fee")
    assert queries_of(lambda: change_page(change.public_id)) == few
    assert change_page(change.public_id).effect is not None


@needs_pango
def test_the_pdf_is_one_page_that_says_all_of_it(day: Day, desk: Client):
    answer = desk.get(at(day.change, "change-pdf"))
    (page,) = pages_of(answer.content)
    for words in (f"Change order {day.change.number}", "+$40.00", "Decals", "Terms of the change", day.customer.name):
        assert words in page
    ours = money_of_ours(day.change)
    assert {figure for figure in ours if figure in page} == set()


@needs_pango
def test_the_pdf_is_kept_as_it_was_made_and_another_once_it_is_agreed(day: Day, desk: Client):
    to_sign = desk.get(at(day.change, "change-pdf"))
    ChangeOrder.objects.filter(pk=day.change.pk).update(reason="words changed by hand")
    again = desk.get(at(day.change, "change-pdf"))
    assert (again.content, again["ETag"]) == (to_sign.content, to_sign["ETag"])
    assert desk.post(at(day.change, "change-agreed"), agreed()).status_code == 302
    signed = desk.get(at(day.change, "change-pdf"))
    assert "Alex Example" in pages_of(signed.content)[0]
    link = reverse("customer-change-pdf", args=[day.build.link_token, day.change.public_id])
    assert Client().get(link).content == signed.content != to_sign.content
    kinds = day.change.version.papers.order_by("pk").values_list("kind", flat=True)
    assert list(kinds) == ["change", "agreed"]
