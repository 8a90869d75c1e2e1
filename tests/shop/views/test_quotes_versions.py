"""Offering, and versions that were offered: frozen, revised, declined."""

from __future__ import annotations

from django.urls import reverse

from shop.models import Component, QuoteVersion
from tests.shop.made_counter import Counter, text
from tests.shop.made_quotes_offered import offer


def address(name: str, version: QuoteVersion) -> str:
    return reverse(name, args=[version.public_id])


def test_the_offer_page_lists_what_is_frozen_and_what_is_open(counter: Counter) -> None:
    counter.forget_vin()
    page = text(counter.get("quote-offer"))
    assert "Offer version 1" in page
    assert "VIN or frame number" in page  # a check nobody has decided
    assert "Valid until" in page


def test_an_offer_with_an_open_check_is_refused_in_words(counter: Counter) -> None:
    counter.forget_vin()
    answer = counter.client.post(counter.address("quote-offer"))
    assert answer.status_code == 422
    assert "decide first" in text(answer)
    counter.version.refresh_from_db()
    assert counter.version.is_draft


def test_what_the_whole_quote_lacks_is_listed_with_where_to_enter_it(counter: Counter) -> None:
    quote = counter.quote
    quote.customer = None
    quote.save()
    page = text(counter.get("quote-offer"))
    assert f'href="{counter.address("quote")}#customer"' in page


def test_an_offer_leads_to_its_version(counter: Counter) -> None:
    counter.forget_vin()
    counter.post("check-decide", "A", "vin", **{"decide-vin-reason": "read it next week"})
    answer = counter.client.post(counter.address("quote-offer"))
    version = QuoteVersion.objects.get(pk=counter.version.pk)
    assert version.state == "offered"
    assert answer.headers["Location"] == address("quote-version", version)
    page = text(counter.client.get(address("quote-version", version)))
    assert "is offered and frozen" in page
    assert "hub motor 10 kW 72 V" in page
    assert "read it next week" in page


def test_an_offered_version_shows_what_was_frozen_whatever_prices_do_later(counter: Counter) -> None:
    version = offer(counter.version)
    before = text(counter.client.get(address("quote-version", version)))
    Component.objects.filter(code="MOT-1").update(list_price=99_999, name="renamed motor")
    after = text(counter.client.get(address("quote-version", version)))
    assert "1,450.00" in before
    assert "1,450.00" in after
    assert "renamed motor" not in after


def test_an_option_of_an_offered_version_by_its_address(counter: Counter) -> None:
    counter.client.post(counter.address("option-new"), {"copy": "A"})
    version = offer(counter.version)
    page = text(counter.client.get(address("quote-version", version), {"option": "B"}))
    assert 'href="?option=A"' in page
    assert "Options side by side" in page
    assert counter.client.get(address("quote-version", version), {"option": "Z"}).status_code == 200


def test_a_draft_s_version_leads_to_the_counter(counter: Counter) -> None:
    answer = counter.client.get(address("quote-version", counter.version))
    assert answer.headers["Location"].startswith(counter.address("quote"))


def test_a_revision_is_a_new_draft_once(counter: Counter) -> None:
    version = offer(counter.version)
    answer = counter.client.post(address("version-revise", version))
    assert answer.headers["Location"] == counter.address("quote")
    assert counter.quote.versions.get(state="draft").number == 2
    again = counter.client.post(address("version-revise", version), follow=True)
    assert "is a draft already" in text(again)
    assert counter.quote.versions.count() == 2


def test_declining_is_asked_once_and_kept_with_its_reason(counter: Counter) -> None:
    version = offer(counter.version)
    page = text(counter.client.get(address("version-decline", version)))
    assert "the customer said no" in page
    answer = counter.client.post(address("version-decline", version), {"reason": "bought another bike"})
    assert answer.headers["Location"] == address("quote-version", version)
    version.refresh_from_db()
    assert version.state == "declined"
    assert counter.quote.events.filter(reason="bought another bike").exists()


def test_only_an_offer_can_be_declined(counter: Counter) -> None:
    answer = counter.client.post(address("version-decline", counter.version), {"reason": ""})
    assert answer.status_code == 422
    assert "only an offered version can be declined" in text(answer)
    long = counter.client.post(address("version-decline", counter.version), {"reason": "x" * 201})
    assert long.status_code == 422
