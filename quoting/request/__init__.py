"""What a quote is worked out from. Every dataclass here has a JSON form (see `quoting.codec`)."""

from __future__ import annotations

from quoting.request.country import POWER_COUNTS, CountrySheet
from quoting.request.donor import Bay, Donor
from quoting.request.option import (
    Allowance,
    CatalogueItem,
    Discount,
    ExtraLine,
    Option,
    PackPlan,
    PartLine,
    StepLine,
)
from quoting.request.policies import Policies, Wishes
from quoting.request.quote import SCHEMA, QuoteRequest
from quoting.request.shop_state import (
    Bench,
    DaySpan,
    Need,
    OpenBuild,
    Opening,
    OpenStep,
    Person,
    Receipt,
    ShopState,
    StockLevel,
    Supply,
    Turn,
)
from quoting.request.tax import TAX_CLASSES, Authority, DatedRate, TaxPlace

__all__ = [
    "POWER_COUNTS",
    "SCHEMA",
    "TAX_CLASSES",
    "Allowance",
    "Authority",
    "Bay",
    "Bench",
    "CatalogueItem",
    "CountrySheet",
    "DatedRate",
    "DaySpan",
    "Discount",
    "Donor",
    "ExtraLine",
    "Need",
    "OpenBuild",
    "OpenStep",
    "Opening",
    "Option",
    "PackPlan",
    "PartLine",
    "Person",
    "Policies",
    "QuoteRequest",
    "Receipt",
    "ShopState",
    "StepLine",
    "StockLevel",
    "Supply",
    "TaxPlace",
    "Turn",
    "Wishes",
]
