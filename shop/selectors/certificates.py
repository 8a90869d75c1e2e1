"""Which of a customer's tax exemption certificates counts for a sale."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from quoting.request import TaxPlace
from shop.models import Customer, ExemptCertificate


@dataclass(frozen=True, kw_only=True)
class CertificateRow:
    """A certificate as it stands on a day."""

    certificate: ExemptCertificate
    has_expired: bool
    is_not_yet: bool

    @property
    def holds(self) -> bool:
        return not self.has_expired and not self.is_not_yet


def certificate_rows(customer: Customer, day: date) -> tuple[CertificateRow, ...]:
    """All of a customer's, those that hold first, then those to come. One query."""
    rows = [certificate_row(each, day) for each in customer.certificates.select_related("authority")]
    return tuple(sorted(rows, key=lambda row: (row.has_expired, row.is_not_yet)))


def certificate_row(certificate: ExemptCertificate, day: date) -> CertificateRow:
    return CertificateRow(
        certificate=certificate,
        has_expired=certificate.until is not None and certificate.until < day,
        is_not_yet=certificate.begin is not None and certificate.begin > day,
    )


def certificate_for(customer: Customer, place: TaxPlace | None, day: date) -> CertificateRow | None:
    """The one that counts for a sale in a place on a day: one that holds there, that authority's own before one that
    holds everywhere, the one that lasts longest. Without one, that which comes nearest, so that it can be told why it
    does not hold: expired, not begun, another authority's. None where the customer has none. One query.
    """
    rows = certificate_rows(customer, day)
    names = None if place is None else {authority.name for authority in place.authorities}

    def rank(row: CertificateRow) -> tuple[int, ...]:
        """Lower is better: holds here; expired here; not begun here; another authority's."""
        own = row.certificate.authority
        elsewhere = own is not None and names is not None and own.name not in names
        lasts = (row.certificate.until or date.max).toordinal()
        return elsewhere, row.is_not_yet, row.has_expired, own is None, -lasts, row.certificate.pk

    return min(rows, key=rank, default=None)
