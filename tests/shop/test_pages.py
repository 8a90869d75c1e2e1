"""What every page shares: navigation by role, error pages in plain words, sign-in, the pattern page."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.contrib.auth.models import AnonymousUser, User
from django.test import Client, RequestFactory
from django.urls import reverse
from django.views.defaults import bad_request, server_error

from shop.context import PLACES, navigation
from shop.models import Shop
from shop.permissions import BUILDER, COUNTER, OWNER

ALL = frozenset({OWNER, COUNTER, BUILDER})


def labels(*roles: str) -> list[str]:
    return [entry.label for entry in navigation("/", frozenset(roles))]


def test_builders_are_led_to_no_page_with_money() -> None:
    led = set(labels(BUILDER))
    assert led.isdisjoint({"Counter", "Orders", "Customers", "Cash book", "Settings"})
    assert {"Counter", "Cash book"} <= set(labels(COUNTER))
    assert "Settings" not in labels(COUNTER)
    assert labels(*ALL) == [place.label for place in PLACES if place.label in labels(*ALL)]  # in one order for all


def test_nobody_is_led_anywhere() -> None:
    assert navigation("/", frozenset()) == ()


@pytest.mark.parametrize(
    ("path", "current"),
    [("/quotes/", ["Counter"]), ("/quotes/abc/offer/", ["Counter"]), ("/nowhere/", []), ("/sign-in/", [])],
)
def test_the_entry_a_page_belongs_to_is_current(path: str, current: list[str]) -> None:
    assert [entry.label for entry in navigation(path, ALL) if entry.current] == current


def test_a_page_that_is_not_there(shop: Shop, client_as: Callable[[str], Client]) -> None:
    answer = client_as("counter").get("/no/such/page/")
    assert answer.status_code == 404
    assert b"There is nothing at this address" in answer.content
    assert Client().get("/no/such/page/").status_code == 404


def test_a_page_of_another_role(shop: Shop, client_as: Callable[[str], Client]) -> None:
    answer = client_as("builder").get(reverse("quotes"))
    assert answer.status_code == 403
    assert b"Your account does not open this page" in answer.content


def test_a_form_without_its_token(shop: Shop, person: Callable[[str], User]) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(person("counter"))
    answer = client.post(reverse("quote-new"), {"job": "conversion"})
    assert answer.status_code == 403
    assert b"The form was too old to be safe" in answer.content


def test_errors_of_our_own_and_requests_that_are_damaged(shop: Shop) -> None:
    request = RequestFactory().get("/")
    request.user = AnonymousUser()
    assert b"Your last act was not saved" in server_error(request).content
    assert b"That request could not be read" in bad_request(request, Exception()).content


def test_a_wrong_password_is_told_without_saying_which_half(shop: Shop, person: Callable[[str], User]) -> None:
    user = person("counter")
    answer = Client().post(reverse("sign-in"), {"username": user.username, "password": "guess"})
    assert answer.status_code == 200
    assert b"That name and password do not go together" in answer.content


def test_an_account_that_rests_says_for_how_long(shop: Shop, person: Callable[[str], User]) -> None:
    user = person("counter")
    for _ in range(5):
        answer = Client().post(reverse("sign-in"), {"username": user.username, "password": "guess"})
    assert answer.status_code == 429
    assert b"rests for fifteen minutes" in answer.content


def test_the_pattern_page_is_the_owners(shop: Shop, client_as: Callable[[str], Client]) -> None:
    address = reverse("patterns")
    answer = client_as("owner").get(address)
    assert answer.status_code == 200
    assert answer.content.count(b'class="chart"') == 4
    assert client_as("counter").get(address).status_code == 403
    assert client_as("owner").post(address).status_code == 405
    assert Client().get(address).status_code == 302
