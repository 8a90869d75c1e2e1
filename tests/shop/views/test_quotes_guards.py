"""Every address of the Counter: signed out, other role, wrong method, unknown id."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse

from shop.services.quotes import version_revise
from tests.shop.made_counter import Counter
from tests.shop.made_quotes_offered import offer

READS: dict[str, tuple[str, ...]] = {
    "quote": (),
    "quote-compare": (),
    "quote-customer-find": (),
    "quote-donor-find": (),
    "part-choose": ("A", "motor"),
}
READS_AND_WRITES: dict[str, tuple[str, ...]] = {"quote-offer": ()}
WRITES: dict[str, tuple[str, ...]] = {
    "quote-wishes": (),
    "quote-sale": (),
    "quote-note": (),
    "quote-customer-choose": (),
    "quote-customer-new": (),
    "quote-donor-choose": (),
    "quote-donor-new": (),
    "option-new": (),
    "option-label": ("A",),
    "option-pack": ("A",),
    "option-price": ("A",),
    "option-remove": ("A",),
    "part-take": ("A",),
    "part-set": ("A", "no-such-part"),
    "part-remove": ("A", "no-such-part"),
    "step-new": ("A",),
    "step-set": ("A", "pack"),
    "step-remove": ("A", "pack"),
    "extra-new": ("A",),
    "extra-remove": ("A",),
    "way-out-take": ("A",),
    "check-decide": ("A", "vin"),
    "check-reopen": ("A", "vin"),
}
ALL = {**READS, **READS_AND_WRITES, **WRITES}
OF_NO_QUOTE = ("quotes", "quote-new", "vin-check")


@pytest.mark.parametrize("name", OF_NO_QUOTE)
def test_pages_of_no_quote_are_for_owner_and_counter(name: str, shop, client_as: Callable[[str], Client]) -> None:
    address = reverse(name)
    assert Client().get(address).headers["Location"].startswith(reverse("sign-in"))
    assert client_as("builder").get(address).status_code == 403
    assert client_as("counter").get(address).status_code == 200
    assert client_as("owner").get(address).status_code == 200
    assert client_as("owner").delete(address).status_code == 405


@pytest.mark.parametrize(("name", "args"), ALL.items())
def test_signed_out_people_are_sent_to_sign_in(name: str, args: tuple[str, ...], counter: Counter) -> None:
    address = counter.address(name, *args)
    for answer in (Client().get(address), Client().post(address)):
        assert answer.status_code == 302
        assert answer.headers["Location"].startswith(reverse("sign-in"))


@pytest.mark.parametrize(("name", "args"), ALL.items())
def test_builders_see_no_money(name: str, args: tuple[str, ...], counter: Counter, client_as) -> None:
    builder = client_as("builder")
    address = counter.address(name, *args)
    assert (builder.post(address) if name in WRITES else builder.get(address)).status_code == 403


@pytest.mark.parametrize(("name", "args"), ALL.items())
def test_wrong_methods_are_refused(name: str, args: tuple[str, ...], counter: Counter) -> None:
    address = counter.address(name, *args)
    assert counter.client.delete(address).status_code == 405
    if name in READS:
        assert counter.client.post(address).status_code == 405
    if name in WRITES:
        assert counter.client.get(address).status_code == 405


@pytest.mark.parametrize(("name", "args"), ALL.items())
def test_unknown_quotes_are_not_found(name: str, args: tuple[str, ...], counter: Counter) -> None:
    address = reverse(name, args=["no-such-quote", *args])
    answer = counter.client.post(address) if name in WRITES else counter.client.get(address)
    assert answer.status_code == 404


@pytest.mark.parametrize(("name", "args"), [(name, args) for name, args in ALL.items() if args])
def test_unknown_options_are_not_found(name: str, args: tuple[str, ...], counter: Counter) -> None:
    address = counter.address(name, "C", *args[1:])
    answer = counter.client.post(address) if name in WRITES else counter.client.get(address)
    assert answer.status_code == 404


@pytest.mark.parametrize(("name", "args"), WRITES.items())
def test_an_offered_quote_is_not_changed_from_an_old_window(name: str, args: tuple[str, ...], counter: Counter) -> None:
    offer(counter.version)
    answer = counter.client.post(counter.address(name, *args))
    assert answer.status_code == 409
    assert "what was offered stays as it is" in answer.content.decode()


@pytest.mark.parametrize("name", ["quote-version", "version-revise", "version-decline"])
def test_versions_are_guarded(name: str, counter: Counter, client_as) -> None:
    version = offer(counter.version)
    address = reverse(name, args=[version.public_id])
    method = "post" if name == "version-revise" else "get"
    assert getattr(Client(), method)(address).headers["Location"].startswith(reverse("sign-in"))
    assert getattr(client_as("builder"), method)(address).status_code == 403
    assert counter.client.delete(address).status_code == 405
    assert getattr(counter.client, method)(reverse(name, args=["no-such-version"])).status_code == 404


def test_a_quote_shows_its_draft_again_once_it_is_revised(counter: Counter) -> None:
    version = offer(counter.version)
    newest = reverse("quote-version", args=[version.public_id])
    assert counter.get("quote").headers["Location"] == newest
    assert counter.get("quote-compare").headers["Location"] == newest
    assert counter.get("quote-offer").headers["Location"] == newest
    version_revise(version=version, person=None)
    assert counter.get("quote").status_code == 200
