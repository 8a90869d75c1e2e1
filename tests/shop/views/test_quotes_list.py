"""The list of quotes and opening a new one."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shop.models import Donor, Quote, Shop
from tests.shop.made_counter import Counter, text
from tests.shop.made_parts import make_donor
from tests.shop.made_quotes import make_draft
from tests.shop.made_quotes_offered import offer
from tests.shop.made_shop import make_customer


@pytest.fixture
def client(client_as: Callable[[str], Client]) -> Client:
    return client_as("counter")


def test_an_empty_list_says_what_to_do(shop: Shop, client: Client) -> None:
    answer = client.get(reverse("quotes"))
    assert "No quotes yet" in text(answer)
    assert reverse("quote-new") in text(answer)


def test_a_draft_leads_to_the_counter_and_an_offer_to_its_version(counter: Counter) -> None:
    page = text(counter.client.get(reverse("quotes")))
    assert f'href="{counter.address("quote")}"' in page
    version = offer(counter.version)
    page = text(counter.client.get(reverse("quotes")))
    assert f'href="{reverse("quote-version", args=[version.public_id])}"' in page


def test_filters_live_in_the_address(shop: Shop, client: Client) -> None:
    make_draft("Q-1", customer=make_customer("Robin Example"))
    make_draft("Q-2", customer=make_customer("Alex Example"))
    page = text(client.get(reverse("quotes"), {"q": "robin", "state": "draft"}))
    assert "Q-1" in page
    assert "Q-2" not in page
    assert 'value="robin"' in page
    assert "No quote fits" in text(client.get(reverse("quotes"), {"q": "nobody of that name"}))


def test_filters_that_cannot_be_read_count_as_not_given(shop: Shop, client: Client) -> None:
    make_draft("Q-1")
    answer = client.get(reverse("quotes"), {"state": "upside-down", "page": "-3"})
    assert answer.status_code == 200
    assert "Q-1" in text(answer)


def test_the_list_asks_the_same_number_of_queries_for_one_row_and_fifty(shop: Shop, client: Client) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as caught:
            assert client.get(reverse("quotes")).status_code == 200
        return len(caught)

    donor = make_donor()
    make_draft("Q-1", customer=make_customer("A"), donor=donor)
    one = queries()
    for number in range(2, 51):
        make_draft(f"Q-{number}", customer=make_customer(f"Customer {number}"), donor=donor)
    assert queries() == one <= 8


def test_a_new_quote_starts_with_option_a_and_the_steps_of_its_job(shop: Shop, client: Client) -> None:
    answer = client.post(reverse("quote-new"), {"job": "conversion", "key": "one"})
    quote = Quote.objects.get()
    assert answer.headers["Location"] == reverse("quote", args=[quote.public_id])
    assert quote.versions.get().options.get().steps.count() == 5
    assert client.get(answer.headers["Location"]).status_code == 200


def test_pressing_twice_opens_one_quote_and_a_fresh_form_another(shop: Shop, client: Client) -> None:
    def press(key: str) -> str:
        return client.post(reverse("quote-new"), {"job": "conversion", "key": key}).headers["Location"]

    assert press("one") == press("one") != press("two")
    assert sorted(Quote.objects.values_list("number", flat=True)) == ["Q-1", "Q-2"]
    first, second = (client.get(reverse("quote-new")).context["form"]["key"].value() for _ in range(2))
    assert first != second


def test_a_new_quote_can_start_from_a_customers_or_a_bikes_page(shop: Shop, client: Client) -> None:
    customer = make_customer("Robin Example")
    donor = make_donor(owner=customer)
    known = {"customer": customer.public_id, "donor": donor.public_id}
    assert "Robin Example" in text(client.get(reverse("quote-new"), known))
    client.post(reverse("quote-new"), {"job": "service", "key": "one", **known})
    quote = Quote.objects.get()
    assert (quote.customer, quote.donor, quote.job) == (customer, donor, "service")


def test_a_new_quote_for_somebody_elses_bike_is_refused_in_words(shop: Shop, client: Client) -> None:
    donor = make_donor(owner=make_customer("Robin Example"))
    other = make_customer("Alex Example")
    known = {"customer": other.public_id, "donor": donor.public_id}
    answer = client.post(reverse("quote-new"), {"job": "conversion", "key": "one", **known})
    assert answer.status_code == 422
    assert "belongs to Robin Example" in text(answer)
    assert not Quote.objects.exists()


@pytest.mark.parametrize("job", ["", "time-travel"])
def test_a_new_quote_of_no_known_job_is_refused(job: str, shop: Shop, client: Client) -> None:
    assert client.post(reverse("quote-new"), {"job": job, "key": "one"}).status_code == 422
    assert not Quote.objects.exists()


def test_a_new_quote_for_nobody_known_is_not_found(shop: Shop, client: Client) -> None:
    assert client.get(reverse("quote-new"), {"customer": "nobody"}).status_code == 404
    assert not Donor.objects.exists()
