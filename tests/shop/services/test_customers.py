from __future__ import annotations

from datetime import date

import pytest
from django.core.exceptions import ValidationError

from shop.models import Customer, Event
from shop.services.customers import customer_save

pytestmark = pytest.mark.django_db


def test_a_customer_is_added_with_blanks_cut(person) -> None:
    counter = person("counter")
    made = customer_save(person=counter, name=" Robin Example ", phone="555 0100")
    assert (made.name, made.phone) == ("Robin Example", "555 0100")
    event = Event.objects.get()
    assert (event.verb, event.person, event.after) == ("customer added", counter, "name, phone")


def test_only_what_is_given_changes_and_the_log_holds_no_contact(person) -> None:
    made = customer_save(person=None, name="Robin Example", email="robin@example.org")
    customer_save(person=None, customer=made, phone="555 0100", name="Robin Example")
    made.refresh_from_db()
    assert (made.email, made.phone) == ("robin@example.org", "555 0100")
    event = Event.objects.get(verb="customer changed")
    assert event.after == "phone"
    assert "555" not in f"{event.subject}{event.before}{event.after}"


def test_saving_the_same_again_writes_nothing() -> None:
    made = customer_save(person=None, name="Robin Example")
    customer_save(person=None, customer=made, name="Robin Example")
    assert Event.objects.count() == 1


@pytest.mark.parametrize(
    ("values", "field"),
    [
        ({"name": "  "}, "name"),
        ({"name": "Robin", "email": "not an address"}, "email"),
        ({"name": "Robin", "exempt_until": date(2027, 1, 1)}, "exempt_certificate"),
    ],
)
def test_what_is_wrong_is_named_by_its_field(values, field: str) -> None:
    with pytest.raises(ValidationError) as refused:
        customer_save(person=None, **values)
    assert field in refused.value.message_dict
    assert not Customer.objects.exists()


def test_one_certificate_may_come_with_the_customer_and_stays_one() -> None:
    made = customer_save(person=None, name="Robin Example", exempt_certificate=" X-1 ", exempt_until=date(2027, 1, 1))
    customer_save(person=None, customer=made, exempt_certificate="X-1", exempt_until=date(2028, 1, 1))
    held = made.certificates.get()
    assert (held.number, held.authority, held.until) == ("X-1", None, date(2028, 1, 1))
