"""What a place lets a conversion change, as the shop wrote it down: data with a date, never the law itself."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

POWER_COUNTS = ("peak", "continuous")


@dataclass(frozen=True, kw_only=True)
class CountrySheet:
    """Limits of the place where the bike will be registered. None: no such limit is known there.

    `as_of` the day the sheet was last held against the authority's own text, `source` where that stands. `mass_share`
    most the kerb mass may move, up or down, as a share of the donor's [0..1]. `power_share` most the motor may give as
    a share of the petrol engine's power [-]; `power_counts` which of its powers is meant, peak or continuous.
    `least_age_years` [years]; `front_share_points` most the front axle's share of the weight may move [percentage
    points]. `papers` what the authority wants to see, one entry each.
    """

    code: str
    name: str
    as_of: date
    source: str = ""
    mass_share: float | None = None
    power_share: float | None = None
    power_counts: str = "peak"
    least_age_years: int | None = None
    front_share_points: float | None = None
    papers: tuple[str, ...] = ()
