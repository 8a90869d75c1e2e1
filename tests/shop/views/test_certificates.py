"""Certificates on the customer's page: added, changed, ended; what cannot be kept stays as it was typed."""

from __future__ import annotations

from datetime import date

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import Customer, ExemptCertificate, TaxAuthority
from tests.shop.made_counter import text
from tests.shop.made_day import Day
from tests.shop.made_shop import make_customer
from tests.shop.queries import queries_of
from tests.shop.views.guards import DESK, assert_guarded


@pytest.fixture
def client(shop, morning, client_as) -> Client:
    made: Client = client_as("counter")
    return made


@pytest.fixture
def customer(shop) -> Customer:
    return make_customer()


def address(name: str, customer: Customer, *ids: str) -> str:
    return reverse(name, args=[customer.public_id, *ids])


def test_they_are_for_the_desk(day: Day, client_as):
    one = day.customer.certificates.create(number="X-1").public_id
    assert_guarded(client_as, "certificate-add", day.customer.public_id, roles=DESK, post_only=True)
    assert_guarded(client_as, "certificate-edit", day.customer.public_id, one, roles=DESK, post_only=True)
    assert_guarded(client_as, "certificate-end", day.customer.public_id, one, roles=DESK, post_only=True)


def test_several_are_added_one_is_changed_and_one_ended(client: Client, customer: Customer):
    page = address("customer", customer)
    assert "No certificate: sales are taxed." in text(client.get(page))
    state = TaxAuthority.objects.filter(level="state").first()
    assert state is not None
    add = address("certificate-add", customer)
    client.post(add, {"new-number": "ALL-1", "new-kind": "resale"})
    client.post(add, {"new-number": "ST-2", "new-authority": state.pk, "new-until": "2026-02-20"})
    everywhere, own = customer.certificates.order_by("pk")
    shown = text(client.get(page))
    for words in ("ALL-1", "resale", f"{state.name} only", "Expired: sales are taxed."):
        assert words in shown
    edit = address("certificate-edit", customer, own.public_id)
    name = own.public_id
    client.post(edit, {f"{name}-number": "ST-3", f"{name}-authority": state.pk, f"{name}-begin": "2026-03-05"})
    own.refresh_from_db()
    assert (own.number, own.begin, own.until) == ("ST-3", date(2026, 3, 5), None)
    assert "Not begun: until then sales are taxed." in text(client.get(page))
    end = address("certificate-end", customer, everywhere.public_id)
    answer = client.post(end, {f"end-{everywhere.public_id}-last": "2026-03-01"}, follow=True)
    assert "Certificate ALL-1 is ended." in text(answer)
    everywhere.refresh_from_db()
    assert everywhere.until == date(2026, 3, 1)


def test_what_cannot_be_kept_stays_as_it_was_typed(client: Client, customer: Customer):
    wrong = {"new-number": "", "new-until": "someday", "new-kind": "farm"}
    answer = client.post(address("certificate-add", customer), wrong)
    shown = text(answer)
    assert answer.status_code == 422
    for words in ('value="someday"', "This is not a date.", "Fill this in.", '<option value="farm" selected>'):
        assert words in shown
    held = customer.certificates.create(number="X-1", begin=date(2026, 3, 1))
    name = held.public_id
    edit = address("certificate-edit", customer, name)
    answer = client.post(edit, {f"{name}-number": "X-9", f"{name}-begin": "2026-03-01", f"{name}-until": "2026-02-01"})
    assert answer.status_code == 422
    assert "It ends before it begins." in text(answer)
    assert 'value="X-9"' in text(answer)
    assert ExemptCertificate.objects.get().number == "X-1"


def test_another_customers_certificate_is_not_found(client: Client, customer: Customer):
    other = make_customer("Dana Example").certificates.create(number="X-1")
    for name in ("certificate-edit", "certificate-end"):
        assert client.post(address(name, customer, other.public_id)).status_code == 404


def test_queries_stay_flat_from_one_certificate_to_twenty(client: Client, customer: Customer):
    page = address("customer", customer)
    authorities = list(TaxAuthority.objects.all())
    customer.certificates.create(number="X-0", authority=authorities[0])
    client.get(page)
    one = queries_of(lambda: client.get(page))
    for number in range(1, 20):
        customer.certificates.create(number=f"X-{number}", authority=authorities[number % 2])
    assert queries_of(lambda: client.get(page)) == one
