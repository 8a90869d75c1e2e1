"""Donor bikes: found at the counter, and as the engine sees them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.db.models import Q, QuerySet

from quoting.request import Bay, Donor
from shop.models import Build, DonorFamily, QuoteVersion
from shop.models import Donor as DonorRow
from shop.selectors.paging import Paged, page_bounds

FAMILY_FIGURES = (
    "removed_kg",
    "removed_x_m",
    "wheelbase_m",
    "cg_height_m",
    "front_share",
    "gawr_front_kg",
    "gawr_rear_kg",
    "cda_m2",
    "crr",
    "engine_kw",
    "system_v",
    "rear_rim_inch",
    "dropout_mm",
    "axle_mm",
    "brake_rated_kg",
)
FAMILY_WORDS = (
    "frame_kind",
    "front_tire",
    "rear_tire",
    "brake_side",
    "front_brake",
    "rear_brake",
    "chain_pitch",
)
# Measured on the bike itself, these stand before the family's.
OWN_FIGURES = ("kerb_kg", "gvwr_kg")


def engine_donor(row: DonorRow) -> Donor:
    """The family's figures, overridden by what was measured on this bike. Give it with its family and bays loaded."""
    family = row.family
    figures: dict[str, Any] = {name: getattr(family, name) for name in FAMILY_FIGURES}
    words: dict[str, Any] = {name: getattr(family, name) or None for name in FAMILY_WORDS}
    own: dict[str, Any] = {name: _first_known(getattr(row, name), getattr(family, name)) for name in OWN_FIGURES}
    return Donor(
        family=family.code,
        label=str(row),
        year=row.year,
        vin=row.vin or None,
        market=row.market,
        title_seen=row.title_seen,
        stolen_check_done=row.stolen_check_done,
        bays=tuple(_bays(family)),
        **figures,
        **words,
        **own,
    )


def _first_known(measured: float | None, usual: float | None) -> float | None:
    return usual if measured is None else measured


def _bays(family: DonorFamily) -> list[Bay]:
    return [
        Bay(name=bay.name, length_mm=bay.length_mm, width_mm=bay.width_mm, height_mm=bay.height_mm, x_m=bay.x_m)
        for bay in family.bays.all()
    ]


def donors_found(text: str, *, limit: int = 10) -> tuple[DonorRow, ...]:
    """Donors whose family, VIN, color or owner holds every word typed, newest first; all when nothing is typed."""
    return tuple(donors_matching(text)[:limit])


def donors_matching(text: str) -> QuerySet[DonorRow]:
    """The same, all of them."""
    rows = DonorRow.objects.select_related("family", "owner").order_by("-created_at", "-pk")
    for word in text.split():
        by_year = Q(year=int(word)) if word.isascii() and word.isdigit() and len(word) == 4 else Q()
        rows = rows.filter(
            Q(family__name__icontains=word)
            | Q(vin__icontains=word)
            | Q(color__icontains=word)
            | Q(owner__name__icontains=word)
            | by_year
        )
    return rows


@dataclass(frozen=True, kw_only=True)
class DonorRecord:
    """One bike with its quotes by their versions and its builds, newest first."""

    donor: DonorRow
    versions: tuple[QuoteVersion, ...]
    builds: tuple[Build, ...]


def donor_record(public_id: str) -> DonorRecord:
    """One bike by public id. Raises Donor.DoesNotExist."""
    donor = DonorRow.objects.select_related("family", "owner", "registered_in").get(public_id=public_id)
    versions = QuoteVersion.objects.filter(quote__donor=donor).defer("request", "result")
    return DonorRecord(
        donor=donor,
        versions=tuple(versions.select_related("quote__customer").order_by("-saved_at")),
        builds=tuple(donor.builds.select_related("customer").order_by("-accepted_at")),
    )


def donors_list(text: str = "", page: int = 1) -> Paged[DonorRow]:
    """Bikes, newest first, found by the words typed."""
    found = donors_matching(text)
    count = found.count()
    page, pages, shown = page_bounds(count, page)
    return Paged(rows=tuple(found[shown]), count=count, page=page, pages=pages)
