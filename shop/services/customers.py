"""Customers, added and changed."""

from __future__ import annotations

from datetime import date
from typing import TypedDict, Unpack

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction

from shop.models import Customer, TaxAuthority
from shop.services.events import event_write


class CustomerValues(TypedDict, total=False):
    name: str
    email: str
    phone: str
    address: str
    notes: str
    exempt_certificate: str
    exempt_kind: str
    exempt_authority: TaxAuthority | None
    exempt_until: date | None


@transaction.atomic
def customer_save(
    *, person: User | None, customer: Customer | None = None, **values: Unpack[CustomerValues]
) -> Customer:
    """Add a customer, or change the values given. Raises ValidationError by field."""
    row = Customer.objects.select_for_update().get(pk=customer.pk) if customer else Customer()
    changed = []
    for name, value in values.items():
        if name not in CustomerValues.__annotations__:
            raise TypeError(f"customer_save: no value is called {name}")
        value = value.strip() if isinstance(value, str) else value
        if getattr(row, name) != value:
            setattr(row, name, value)
            changed.append(name)
    if (row.exempt_until or row.exempt_kind or row.exempt_authority) and not row.exempt_certificate:
        raise ValidationError({"exempt_certificate": "Enter the certificate's number, or clear what is said of it."})
    row.full_clean()
    if customer is not None and not changed:
        return row
    row.save()
    # Names of fields only: the log can't be edited, so it holds nobody's address or telephone number.
    event_write(
        person=person,
        verb="customer changed" if customer else "customer added",
        subject=f"customer {row.public_id}",
        after=", ".join(name.replace("_", " ") for name in changed),
    )
    return row
