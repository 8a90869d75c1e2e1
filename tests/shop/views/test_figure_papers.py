"""The figures of a quote on paper, for staff and by link for the customer."""

from __future__ import annotations

from django.urls import reverse

from tests.shop.documents.reading import needs_pango, text_of
from tests.shop.made_counter import text
from tests.shop.made_day import Day
from tests.shop.views.guards import DESK, UNKNOWN, assert_guarded


@needs_pango
def test_who_may_print_the_figures(day: Day, client_as):
    for name in ("figures-document", "figures-pdf"):
        assert_guarded(client_as, name, day.accepted.public_id, roles=DESK)


@needs_pango
def test_the_customer_opens_them_by_link_and_by_no_other(day: Day, client):
    answer = client.get(reverse("customer-figures-pdf", args=[day.build.link_token, day.accepted.public_id]))
    assert "Figures Q-1 version 1" in text_of(answer.content)
    assert answer.headers["X-Robots-Tag"] == "noindex, nofollow, noarchive"
    for ids in ([UNKNOWN, day.accepted.public_id], [day.build.link_token, UNKNOWN]):
        assert client.get(reverse("customer-figures-pdf", args=ids)).status_code == 404


def test_a_draft_has_no_figures_on_paper(day: Day, client_as):
    answer = client_as("counter").get(reverse("figures-document", args=[day.draft.public_id]))
    assert answer.status_code == 409
    assert "Offer it at the Counter" in text(answer)
