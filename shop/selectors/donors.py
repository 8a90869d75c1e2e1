"""Donor bikes: found at the counter, and as the engine sees them."""

from __future__ import annotations

from typing import Any

from django.db.models import Q

from quoting.request import Bay, Donor
from shop.models import Donor as DonorRow
from shop.models import DonorFamily

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
    return tuple(rows[:limit])
