from __future__ import annotations

import pytest
from django.urls import reverse

from shop.models import Customer, Donor
from tests.shop.made_builds import make_build
from tests.shop.made_counter import htmx, text
from tests.shop.made_day import Day
from tests.shop.made_offers import price_of
from tests.shop.made_shop import make_customer
from tests.shop.queries import queries_of
from tests.shop.views.guards import DESK, assert_guarded

CUSTOMERS = reverse("customers")
NEW = reverse("customer-new")


def test_customers_are_for_the_desk(day: Day, client_as):
    assert_guarded(client_as, "customers", roles=DESK)
    assert_guarded(client_as, "customer-new", roles=DESK)
    assert_guarded(client_as, "customer", day.customer.public_id, roles=DESK)
    assert_guarded(client_as, "customer-edit", day.customer.public_id, roles=DESK)


def test_an_empty_list_and_an_empty_search_say_what_to_do(shop, client_as):
    client = client_as("counter")
    assert "No customers yet" in text(client.get(CUSTOMERS))
    make_customer("Casey Example")
    assert "Nobody fits" in text(client.get(CUSTOMERS, {"q": "zzz"}))


def test_found_as_the_name_is_typed(shop, client_as):
    make_customer("Casey Example", phone="555 0142")
    make_customer("Dana Example")
    part = text(client_as("counter").get(CUSTOMERS, {"q": "0142"}, headers=htmx(True)))
    assert ("<html" in part, "Casey Example" in part, "Dana Example" in part) == (False, True, False)


def test_a_customer_with_bikes_quotes_builds_and_money(day: Day, client_as):
    Donor.objects.update(owner=day.customer)
    page = text(client_as("counter").get(reverse("customer", args=[day.customer.public_id])))
    price = price_of(day.accepted)
    for shown in (
        day.donor.vin,
        day.accepted.quote.number,
        day.draft.quote.number,
        day.build.number,
        f"{price.due - price.deposit:,.2f}",
    ):
        assert shown in page
    assert f"{reverse('quote-new')}?customer={day.customer.public_id}" in page


def test_added_and_changed(shop, client_as):
    client = client_as("counter")
    client.post(NEW, {"name": "Robin Example", "email": "robin@example.org", "address": "1 Quay\nPort Example"})
    robin = Customer.objects.get(name="Robin Example")
    edit = reverse("customer-edit", args=[robin.public_id])
    assert 'value="robin@example.org"' in text(client.get(edit))
    answer = client.post(edit, {"name": "Robin Example", "email": "", "phone": "555 0100", "address": robin.address})
    assert answer.headers["Location"] == reverse("customer", args=[robin.public_id])
    robin.refresh_from_db()
    assert (robin.email, robin.phone, robin.address) == ("", "555 0100", "1 Quay\nPort Example")


@pytest.mark.parametrize(
    ("changed", "field", "said"),
    [
        ({"name": ""}, "name", "Fill this in."),
        ({"email": "robin at home"}, "email", "valid email"),
    ],
)
def test_what_cannot_be_kept_stands_beside_its_field(changed: dict[str, str], field: str, said: str, shop, client_as):
    answer = client_as("counter").post(NEW, {"name": "Robin Example", "notes": "typed before", **changed})
    assert answer.status_code == 422
    assert said in " ".join(answer.context["form"].errors[field])
    assert "typed before" in text(answer)
    assert not Customer.objects.exists()


def test_queries_stay_flat_from_one_customer_to_fifty(shop, morning, client_as):
    client = client_as("counter")
    make_build(1)
    client.get(CUSTOMERS)
    one = queries_of(lambda: client.get(CUSTOMERS))
    for place in range(2, 51):
        make_build(place)
    assert queries_of(lambda: client.get(CUSTOMERS)) == one


def test_queries_of_one_customer_stay_flat(day: Day, client_as):
    client, page = client_as("counter"), reverse("customer", args=[day.customer.public_id])
    client.get(page)
    one = queries_of(lambda: client.get(page))
    for place in range(2, 52):
        make_build(place, customer=day.customer, donor=day.donor)
    assert queries_of(lambda: client.get(page)) == one
