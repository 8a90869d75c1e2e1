"""The whole request."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from quoting.request.country import CountrySheet
from quoting.request.donor import Donor
from quoting.request.option import CatalogueItem, Option
from quoting.request.policies import Policies, Wishes
from quoting.request.shop_state import ShopState
from quoting.request.tax import TaxPlace

SCHEMA = "donorbench-quote-1"


@dataclass(frozen=True, kw_only=True)
class QuoteRequest:
    """Everything a quote is worked out from; the engine looks at nothing else.

    `day` the quote's date in the shop's zone, `now` the aware moment planning starts from. `currency` ISO 4217.
    `units` how figures are written: us (mi, lb, hp) or metric (km, kg, kW). `job` one of conversion, pack_upgrade,
    parts_kit, service. `donor` None only for parts kits. `catalogue` feeds ways out; it does not change any figure.
    `country` the limits of the place of registration, None where the shop keeps no sheet of it. `note` the words to the
    customer that are printed on the quote. `changes` the number of the running build in `shop.builds` that the one
    option changes; it stands there as it would be (see `quoting.promise.changed_build`). Empty: a new build.
    """

    day: date
    now: datetime
    currency: str
    options: tuple[Option, ...]
    shop: ShopState
    donor: Donor | None = None
    wishes: Wishes = Wishes()
    tax_place: TaxPlace | None = None
    country: CountrySheet | None = None
    policies: Policies = Policies()
    job: str = "conversion"
    units: str = "us"
    note: str = ""
    changes: str = ""
    catalogue: tuple[CatalogueItem, ...] = ()
    schema: str = SCHEMA
