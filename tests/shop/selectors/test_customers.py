from __future__ import annotations

from decimal import Decimal

import pytest

from shop.models import Build, Customer, QuoteVersion
from shop.selectors.customers import customer_record, customers_found, customers_list
from tests.shop.made_builds import make_accepted, make_build
from tests.shop.made_offers import DAY
from tests.shop.made_parts import make_donor, make_family
from tests.shop.made_quotes import make_draft
from tests.shop.made_shop import make_customer
from tests.shop.queries import queries_of


@pytest.mark.django_db
def test_customers_are_found_by_name_mail_or_telephone() -> None:
    robin = make_customer("Robin Example", email="robin@example.org", phone="555 0100")
    alex = make_customer("Alex Example")
    assert customers_found("") == (alex, robin)
    assert customers_found("example rob") == (robin,)
    assert customers_found("0100") == (robin,)
    assert customers_found("robin@") == (robin,)
    assert customers_found("nobody") == ()
    assert customers_found("example", limit=1) == (alex,)


def test_the_list_counts_what_is_under_way(db: None) -> None:
    casey, robin = make_customer("Casey Example", phone="555-0101"), make_customer("Robin Example")
    make_build(1, customer=casey)
    done = make_build(2, customer=casey)
    Build.objects.filter(pk=done.pk).update(state="cancelled", place=None)
    make_draft("Q-1", customer=casey)
    make_accepted("Q-2", robin)
    QuoteVersion.objects.filter(quote__number="Q-2").update(state="offered", accepted_option="")
    first, second = customers_list().rows
    # Each build hangs on a quote of its own.
    assert (first.customer, first.quotes, first.offers, first.builds, first.open_builds) == (casey, 3, 0, 2, 1)
    assert (second.customer, second.quotes, second.offers, second.builds, second.open_builds) == (robin, 1, 1, 0, 0)
    assert [row.customer for row in customers_list("0101").rows] == [casey]


def test_the_list_comes_in_pages_of_as_many_queries(db: None) -> None:
    make_customer("Customer 000")
    one = queries_of(customers_list)
    for number in range(1, 60):
        make_customer(f"Customer {number:03}")
    assert queries_of(customers_list) == one
    second = customers_list(page=2)
    assert (second.count, second.page, second.pages, second.rows[0].customer.name) == (60, 2, 2, "Customer 050")


def test_a_customers_record_holds_all_that_happened(db: None) -> None:
    casey = make_customer("Casey Example")
    bike = make_donor(owner=casey)
    build = make_build(1, customer=casey, donor=bike, total=Decimal(9000))
    version = make_draft("Q-1", customer=casey, donor=bike)
    make_build(2)
    record = customer_record(casey.public_id, DAY)
    assert record.customer == casey
    assert record.donors == (bike,)
    assert set(record.versions) == {version, build.version}
    assert [(each.build, each.money.paid, each.money.owed) for each in record.builds] == [
        (build, Decimal(0), Decimal(9000))
    ]
    with pytest.raises(Customer.DoesNotExist):
        customer_record("nothing", DAY)


def test_a_record_takes_as_many_queries_for_many_builds(db: None) -> None:
    casey = make_customer("Casey Example")
    family = make_family()
    make_build(1, customer=casey, donor=make_donor(family, owner=casey))
    one = queries_of(lambda: customer_record(casey.public_id, DAY))
    for place in range(2, 20):
        make_build(place, customer=casey, donor=make_donor(family, owner=casey))
    assert queries_of(lambda: customer_record(casey.public_id, DAY)) == one
