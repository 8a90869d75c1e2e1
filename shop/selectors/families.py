"""Frame families, with what is not known of each."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Count

from shop.models import Bay, DonorFamily

# What the weight, ride and fit of a conversion are worked out from (see quoting.weight, quoting.ride, quoting.pack).
WANTED = (
    "kerb_kg",
    "removed_kg",
    "removed_x_m",
    "wheelbase_m",
    "cg_height_m",
    "front_share",
    "gvwr_kg",
    "gawr_front_kg",
    "gawr_rear_kg",
)


@dataclass(frozen=True, kw_only=True)
class FamilyRow:
    """One family. `missing` the figures that quotes on it will ask for, in words."""

    family: DonorFamily
    bikes: int
    bays: tuple[Bay, ...]
    missing: tuple[str, ...]


def families_list() -> tuple[FamilyRow, ...]:
    """Every family by name. Two queries."""
    rows = DonorFamily.objects.annotate(bike_count=Count("donors")).prefetch_related("bays").order_by("name")
    return tuple(
        FamilyRow(family=row, bikes=row.bike_count, bays=tuple(row.bays.all()), missing=_missing(row)) for row in rows
    )


def _missing(family: DonorFamily) -> tuple[str, ...]:
    names = [name for name in WANTED if getattr(family, name) is None]
    fields = {field.name: field for field in DonorFamily._meta.concrete_fields}
    words = [str(fields[name].verbose_name).partition(", ")[0] for name in names]
    return (*words, *(() if family.bays.all() else ("a bay",)))
