"""Which country sheet a bike is held against."""

from __future__ import annotations

from quoting.request import CountrySheet
from shop.models import CountrySheet as SheetRow
from shop.models import Donor, Shop

LIMITS = ("mass_share", "power_share", "power_counts", "least_age_years", "front_share_points")


def engine_sheet(shop: Shop, donor: Donor | None) -> CountrySheet | None:
    """The sheet of the place the bike will be registered in, else the shop's own; None where there is neither."""
    row = (donor.registered_in if donor else None) or shop.home_country_sheet
    return None if row is None else sheet_of(row)


def sheet_of(row: SheetRow) -> CountrySheet:
    return CountrySheet(
        code=row.code,
        name=row.name,
        as_of=row.as_of,
        source=row.source,
        papers=row.paper_list,
        **{name: getattr(row, name) for name in LIMITS},
    )
