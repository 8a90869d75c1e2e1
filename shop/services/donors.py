"""Donor bikes, added and changed."""

from __future__ import annotations

from typing import TypedDict, Unpack

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction

from quoting.vin import check_vin
from shop.models import CountrySheet, Customer, Donor, DonorFamily
from shop.services.events import event_write

STOP = "stop"


class DonorValues(TypedDict, total=False):
    """`owner` None: the bike stands in the shop's yard. Masses in kg, `odometer_km` in km; None: not known."""

    family: DonorFamily
    owner: Customer | None
    year: int | None
    vin: str
    market: str
    registered_in: CountrySheet | None
    color: str
    kerb_kg: float | None
    gvwr_kg: float | None
    odometer_km: float | None
    condition: str
    title_seen: bool | None
    stolen_check_done: bool | None


@transaction.atomic
def donor_save(*, person: User | None, donor: Donor | None = None, **values: Unpack[DonorValues]) -> Donor:
    """Add a bike, or change the values given.

    Raises ValidationError by field, also for a VIN that can't be right: it can be left empty until it is read again.
    """
    row = Donor.objects.select_for_update(of=("self",)).get(pk=donor.pk) if donor else Donor()
    changed = []
    for name, value in values.items():
        if name not in DonorValues.__annotations__:
            raise TypeError(f"donor_save: no value is called {name}")
        value = value.strip() if isinstance(value, str) else value
        if donor is None or getattr(row, name) != value:
            setattr(row, name, value)
            changed.append(name)
    row.vin = _checked_vin(row)
    row.full_clean()
    if donor is not None and not changed:
        return row
    row.save()
    event_write(
        person=person,
        verb="bike changed" if donor else "bike added",
        subject=f"bike {row.public_id}",
        after=f"{row}: {', '.join(name.replace('_', ' ') for name in changed)}",
    )
    return row


def _checked_vin(row: Donor) -> str:
    """The number as it is kept. Raises ValidationError for one that can't be right."""
    if not row.vin:
        return ""
    found = check_vin(row.vin, row.year, row.market)
    if found.level == STOP:
        raise ValidationError({"vin": f"{found.message} {found.remedy} Leave it empty until it has been read again."})
    return found.normalized
