"""Customers, added and changed."""

from __future__ import annotations

from datetime import date
from typing import TypedDict, Unpack

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction

from shop.models import Customer
from shop.services.certificates import certificate_save
from shop.services.events import event_write


class CustomerValues(TypedDict, total=False):
    name: str
    email: str
    phone: str
    address: str
    notes: str


@transaction.atomic
def customer_save(
    *,
    person: User | None,
    customer: Customer | None = None,
    exempt_certificate: str = "",
    exempt_until: date | None = None,
    **values: Unpack[CustomerValues],
) -> Customer:
    """Add a customer, or change the values given. Raises ValidationError by field.

    `exempt_certificate` gives one that holds everywhere, until a day if one is told; see `certificate_save` for others.
    """
    row = Customer.objects.select_for_update().get(pk=customer.pk) if customer else Customer()
    changed = []
    for name, value in values.items():
        if name not in CustomerValues.__annotations__:
            raise TypeError(f"customer_save: no value is called {name}")
        value = value.strip() if isinstance(value, str) else value
        if getattr(row, name) != value:
            setattr(row, name, value)
            changed.append(name)
    row.full_clean()
    if exempt_until and not exempt_certificate.strip():
        raise ValidationError({"exempt_certificate": "Enter the certificate's number, or clear its last day."})
    if customer is None or changed:
        row.save()
        _noted(row, person, customer is None, changed)
    if exempt_certificate.strip():
        number = exempt_certificate.strip()
        known = row.certificates.filter(number=number).first()
        certificate_save(customer=row, certificate=known, person=person, number=number, until=exempt_until)
    return row


def _noted(row: Customer, person: User | None, is_new: bool, changed: list[str]) -> None:
    # Names of fields only: the log can't be edited, so it holds nobody's address or telephone number.
    event_write(
        person=person,
        verb="customer added" if is_new else "customer changed",
        subject=f"customer {row.public_id}",
        after=", ".join(name.replace("_", " ") for name in changed),
    )
