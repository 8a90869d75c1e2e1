"""What a build was agreed at, as it stands now: the frozen request and price of the option that counts.

Invoice, refund and storage read the agreement here and nowhere else.
"""

from __future__ import annotations

from dataclasses import dataclass

from quoting import QuoteRequest, QuoteResult, from_json
from quoting.request import Option
from quoting.result import PriceSheet
from shop.models import Build, QuoteVersion


@dataclass(frozen=True, kw_only=True)
class Agreed:
    """The version that counts, its request, and the option that was chosen with its price."""

    version: QuoteVersion
    request: QuoteRequest
    option: Option
    price: PriceSheet


def agreed_of(build: Build) -> Agreed:
    """The agreement a build is made by."""
    version = build.version
    request, result = from_json(QuoteRequest, version.request), from_json(QuoteResult, version.result)
    return Agreed(
        version=version,
        request=request,
        option=next(option for option in request.options if option.key == build.option_key),
        price=next(option.price for option in result.options if option.key == build.option_key),
    )
