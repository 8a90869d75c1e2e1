"""Certificates of several authorities: the one that counts is that of the quote's place and day."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.core.exceptions import ValidationError

from quoting import quote
from shop.models import Customer, Event, ExemptCertificate, Shop, TaxAuthority, TaxPlace
from shop.selectors.certificates import certificate_for
from shop.selectors.requests import quote_request
from shop.selectors.tax import engine_tax_place
from shop.services.certificates import certificate_end, certificate_save
from shop.services.errors import Refused
from tests.shop.made_offers import DAY
from tests.shop.made_quotes import make_sound_draft
from tests.shop.made_shop import make_customer, make_tax_place

pytestmark = pytest.mark.django_db
YESTERDAY, TOMORROW = DAY - timedelta(days=1), DAY + timedelta(days=1)


@pytest.fixture
def here() -> TaxPlace:
    return make_tax_place("port-here")


@pytest.fixture
def customer() -> Customer:
    return make_customer()


def state(place: TaxPlace) -> TaxAuthority:
    return place.authorities.get(level="state")


def hold(customer: Customer, number: str, authority: TaxAuthority | None = None, **days: date) -> ExemptCertificate:
    return certificate_save(customer=customer, person=None, number=number, authority=authority, **days)  # type: ignore[arg-type]


def counts(customer: Customer, place: TaxPlace, day: date = DAY) -> tuple[str, str]:
    """The number of the one that counts, and whether it holds."""
    row = certificate_for(customer, engine_tax_place(place.pk, day), day)
    assert row is not None
    return row.certificate.number, "holds" if row.holds else "expired" if row.has_expired else "to come"


def test_each_place_has_the_one_of_its_own_authority(customer: Customer, here: TaxPlace) -> None:
    there, anywhere = make_tax_place("port-there"), make_tax_place("port-far")
    hold(customer, "ALL")
    hold(customer, "HERE", state(here))
    hold(customer, "THERE", state(there))
    assert [counts(customer, place)[0] for place in (here, there, anywhere)] == ["HERE", "THERE", "ALL"]


def test_the_day_decides_first_and_last_day_included(customer: Customer, here: TaxPlace) -> None:
    hold(customer, "OLD", state(here), until=DAY)
    hold(customer, "NEW", state(here), begin=TOMORROW)
    assert [counts(customer, here, day) for day in (DAY, TOMORROW)] == [("OLD", "holds"), ("NEW", "holds")]


def test_one_that_holds_everywhere_goes_before_one_that_has_expired(customer: Customer, here: TaxPlace) -> None:
    hold(customer, "OLD", state(here), until=YESTERDAY)
    assert counts(customer, here) == ("OLD", "expired")
    hold(customer, "ALL")
    assert counts(customer, here) == ("ALL", "holds")


def test_of_two_that_hold_the_one_that_lasts_longer(customer: Customer, here: TaxPlace) -> None:
    hold(customer, "SHORT", until=TOMORROW)
    hold(customer, "OPEN")
    assert counts(customer, here) == ("OPEN", "holds")


@pytest.mark.parametrize(
    ("days", "words"),
    [({"until": YESTERDAY}, "has expired"), ({"begin": TOMORROW}, "from a later day on"), ({}, None)],
)
def test_a_quote_tells_why_it_is_taxed(shop: Shop, morning, days: dict[str, date], words: str | None) -> None:
    version = make_sound_draft(shop, DAY)
    customer = version.quote.customer
    assert customer is not None
    hold(customer, "X-1", None, **days)
    hold(customer, "ELSEWHERE", state(make_tax_place("port-there")))
    option = quote(quote_request(version)).options[0]
    said = [finding.explanation for finding in option.findings if finding.rule == "exempt-certificate"]
    assert bool(option.price.tax_total) == bool(words)
    assert [words in text for text in said] == ([True] if words else []) if words else not said


def test_it_is_ended_on_its_last_day_and_the_log_says_so(customer: Customer, here: TaxPlace, person) -> None:
    held = hold(customer, "X-1")
    certificate_end(certificate=held, last=YESTERDAY, person=person("counter"))
    assert counts(customer, here) == ("X-1", "expired")
    event = Event.objects.get(verb="certificate changed")
    assert (event.before, event.after) == (
        "X-1, everywhere, ever to further",
        "X-1, everywhere, ever to 2026-03-01",
    )


def test_what_is_wrong_is_named_by_its_field(customer: Customer) -> None:
    with pytest.raises(ValidationError) as refused:
        hold(customer, "  ")
    assert set(refused.value.message_dict) == {"number"}
    with pytest.raises(Refused, match="ends before it begins") as backwards:
        hold(customer, "X-1", begin=DAY, until=YESTERDAY)
    assert backwards.value.field == "until"
    assert not ExemptCertificate.objects.exists()
