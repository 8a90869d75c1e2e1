"""An invented country sheet."""

from __future__ import annotations

from datetime import date

from shop.models import CountrySheet


def make_sheet(code: str = "here", **values: object) -> CountrySheet:
    """Plainland's limits, read on 15 January 2026."""
    sheet: dict[str, object] = {
        "name": "Plainland",
        "as_of": date(2026, 1, 15),
        "source": "vehicle office, leaflet 12",
        "mass_share": 0.2,
        "power_share": 1.0,
        "least_age_years": 3,
        "front_share_points": 5.0,
        "papers": "title\n\n  photograph of the plate  \n",
        **values,
    }
    return CountrySheet.objects.get_or_create(code=code, defaults=sheet)[0]
