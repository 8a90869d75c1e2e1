from __future__ import annotations

import pytest
from django.db import transaction

from shop.models import Sequence
from shop.services.numbers import number_take


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("name", "first"), [("quote", "Q-1"), ("build", "B-1"), ("order", "P-1"), ("receipt", "R-1"), ("entry", "1")]
)
def test_each_run_starts_at_one_with_its_prefix(name: str, first: str) -> None:
    assert number_take(name) == first


@pytest.mark.django_db
def test_numbers_follow_one_another_from_where_the_row_stands() -> None:
    Sequence.objects.create(name="quote", prefix="Q-", next_number=2041)
    assert [number_take("quote"), number_take("quote")] == ["Q-2041", "Q-2042"]


@pytest.mark.django_db
def test_a_number_taken_in_a_transaction_that_fails_is_given_again() -> None:
    @transaction.atomic
    def fail_after_taking() -> None:
        assert number_take("quote") == "Q-2"
        raise RuntimeError("till jammed")

    number_take("quote")
    with pytest.raises(RuntimeError, match="till jammed"):
        fail_after_taking()
    assert number_take("quote") == "Q-2"


@pytest.mark.django_db(transaction=True)
def test_a_number_outside_a_transaction_is_refused() -> None:
    with pytest.raises(RuntimeError, match="inside a transaction"):
        number_take("quote")
    assert not Sequence.objects.exists()
