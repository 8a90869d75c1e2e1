"""Tax exemption certificates: added, changed, ended. What was quoted or invoiced keeps the one it named."""

from __future__ import annotations

from datetime import date
from typing import TypedDict, Unpack

from django.contrib.auth.models import User
from django.db import transaction

from shop.models import Customer, ExemptCertificate, TaxAuthority
from shop.services.errors import Refused
from shop.services.events import event_write


class CertificateValues(TypedDict, total=False):
    number: str
    kind: str
    authority: TaxAuthority | None
    begin: date | None
    until: date | None


@transaction.atomic
def certificate_save(
    *,
    customer: Customer,
    person: User | None,
    certificate: ExemptCertificate | None = None,
    **values: Unpack[CertificateValues],
) -> ExemptCertificate:
    """Add a certificate, or change the values given of one. Raises ValidationError by field."""
    rows = ExemptCertificate.objects.select_for_update()
    row = rows.get(pk=certificate.pk, customer=customer) if certificate else ExemptCertificate(customer=customer)
    before = said(row) if certificate else ""
    for name, value in values.items():
        if name not in CertificateValues.__annotations__:
            raise TypeError(f"certificate_save: no value is called {name}")
        setattr(row, name, value.strip() if isinstance(value, str) else value)
    if row.begin and row.until and row.until < row.begin:
        raise Refused("It ends before it begins. Correct one of the two days.", "until")
    row.full_clean(exclude=["customer", "authority"])
    if certificate is not None and said(row) == before:
        return row
    row.save()
    verb = "certificate changed" if certificate else "certificate added"
    event_write(person=person, verb=verb, subject=f"customer {customer.public_id}", before=before, after=said(row))
    return row


def certificate_end(*, certificate: ExemptCertificate, last: date, person: User | None) -> ExemptCertificate:
    """Let `last` be the last day a certificate holds on: it was withdrawn, or another took its place."""
    return certificate_save(customer=certificate.customer, certificate=certificate, person=person, until=last)


def said(certificate: ExemptCertificate) -> str:
    """A certificate in a few words, for the log."""
    whose = certificate.authority.name if certificate.authority else "everywhere"
    days = f"{certificate.begin or 'ever'} to {certificate.until or 'further'}"
    return ", ".join(part for part in (certificate.number, certificate.kind, whose, days) if part)
