from __future__ import annotations

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.db import connection
from django.db.models import F, Sum, Value
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from shop.models import ExchangeRate, OptionExtra, Posting, Supplier
from shop.models.exact import HoursField, MoneyField, QuantityField, RateField, new_link_token, new_public_id
from tests.shop.made_builds import make_build
from tests.shop.made_parts import make_component, receive
from tests.shop.made_quotes import make_draft

CENTS = st.decimals(min_value=Decimal("0.0001"), max_value=Decimal("99999999"), places=4)


class MoneyInTheTable(TestCase):
    """Amounts come back as they went in, and their sum is the sum."""

    @given(st.lists(CENTS, min_size=1, max_size=30))
    def test_sums_are_exact(self, amounts: list[Decimal]) -> None:
        option = make_draft(new_public_id()).options.create(key="A")
        for amount in amounts:
            option.extras.create(kind="fee", label="x", amount=amount)
        assert list(option.extras.order_by("pk").values_list("amount", flat=True)) == amounts
        assert option.extras.aggregate(total=Sum("amount"))["total"] == sum(amounts)


@pytest.mark.django_db
def test_a_tenth_three_times_is_three_tenths() -> None:
    # As a binary float 0.1 + 0.1 + 0.1 is 0.30000000000000004: the very drift these fields are for.
    component = make_component("MOT-1")
    for _ in range(3):
        receive(component, "0.1")
    assert component.moves.aggregate(total=Sum("on_hand"))["total"] == Decimal("0.300")


@pytest.mark.django_db
def test_the_column_holds_whole_numbers_of_the_smallest_step() -> None:
    ExchangeRate.objects.create(currency="EUR", day="2026-01-05", rate=Decimal("1.0825"))
    with connection.cursor() as cursor:
        cursor.execute("SELECT rate FROM shop_exchangerate")
        assert cursor.fetchone() == (1082500,)  # six places


@pytest.mark.django_db
def test_comparisons_in_the_database_are_in_units_and_so_is_arithmetic_with_the_fields_own_values() -> None:
    option = make_draft().options.create(key="A")
    for amount in ("9.99", "10", "10.01"):
        option.extras.create(kind="fee", label=amount, amount=Decimal(amount))
    assert {extra.label for extra in OptionExtra.objects.filter(amount__gte=Decimal(10))} == {"10", "10.01"}
    OptionExtra.objects.update(amount=F("amount") + Value(Decimal("0.01"), MoneyField()))
    assert OptionExtra.objects.filter(amount=Decimal("10.02")).get().label == "10.01"


@pytest.mark.parametrize(
    ("field", "fits", "too_fine"),
    [
        (MoneyField(), "0.0001", "0.00001"),
        (QuantityField(), "0.001", "0.0001"),
        (HoursField(), "0.25", "0.255"),
        (RateField(), "0.072500", "0.0000001"),
    ],
)
def test_more_decimals_than_are_kept_are_refused_never_rounded(field, fits: str, too_fine: str) -> None:
    assert field.clean(fits, None) == Decimal(fits)
    with pytest.raises(ValidationError, match="more than"):
        field.clean(too_fine, None)
    with pytest.raises(ValueError, match="decimal places"):
        field.get_prep_value(Decimal(too_fine))


@pytest.mark.parametrize("value", [1.5, "NaN", "Infinity", "12,50", "1e30", object()])
def test_floats_and_what_is_no_number_are_refused(value: object) -> None:
    with pytest.raises(ValidationError):
        MoneyField().to_python(value)


@pytest.mark.parametrize("value", [None, ""])
def test_nothing_is_nothing(value: object) -> None:
    assert MoneyField(null=True).to_python(value) is None
    assert MoneyField(null=True).get_prep_value(None) is None


def test_the_largest_amount_fits_the_column() -> None:
    # 2^63 − 1 = 9223372036854775807 steps of a ten-thousandth.
    assert MoneyField().get_prep_value(Decimal("922337203685477.5807")) == 2**63 - 1
    with pytest.raises(ValidationError, match="out of range"):
        MoneyField().get_prep_value(Decimal("922337203685477.5808"))


@pytest.mark.django_db
def test_a_posting_is_read_back_as_a_decimal() -> None:
    build = make_build()
    entry = build.entries.create(
        number=1, kind="deposit", day="2026-03-02", customer=build.customer, method="cash", receipt="R-1", key="k"
    )
    Posting.objects.create(entry=entry, debit="cash", credit="deposits", amount=Decimal("2500.10"))
    amount = Posting.objects.get().amount
    assert isinstance(amount, Decimal)
    assert str(amount) == "2500.1000"


def test_ids_do_not_repeat_and_are_safe_in_addresses() -> None:
    ids = {new_public_id() for _ in range(1000)}
    assert len(ids) == 1000
    assert all(len(each) == 15 and each.isalnum() for each in ids)
    assert len({new_link_token() for _ in range(1000)}) == 1000
    assert len(new_link_token()) >= 22  # 16 bytes in base 64


@pytest.mark.django_db
def test_public_ids_are_unique_in_the_table() -> None:
    first = Supplier.objects.create(code="a", name="A")
    assert Supplier.objects.create(code="b", name="B").public_id != first.public_id
