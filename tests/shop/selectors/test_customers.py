from __future__ import annotations

import pytest

from shop.selectors.customers import customers_found
from tests.shop.made_shop import make_customer


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
