"""What a customer was offered or agreed to, from the frozen version, without anything that is only the shop's."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from quoting.result import OptionResult, ProfileRange, Promise
from shop.models import QuoteVersion
from shop.selectors.quotes import worked_out


@dataclass(frozen=True, kw_only=True)
class AgreedLine:
    """One line as printed: no cost, no margin."""

    label: str
    amount: Decimal


@dataclass(frozen=True, kw_only=True)
class AgreedOption:
    """One option as the customer sees it."""

    key: str
    label: str
    currency: str
    lines: tuple[AgreedLine, ...]
    tax: Decimal | None
    total: Decimal
    allowance: Decimal
    allowance_label: str
    due: Decimal
    deposit: Decimal
    ranges: tuple[ProfileRange, ...]
    promise: Promise | None


def agreed_options(version: QuoteVersion, key: str = "") -> tuple[AgreedOption, ...]:
    """The options of an offered version, or only the one that was accepted."""
    return tuple(_agreed(option) for option in worked_out(version).options if key in ("", option.key))


def _agreed(option: OptionResult) -> AgreedOption:
    price = option.price
    return AgreedOption(
        key=option.key,
        label=option.label,
        currency=price.currency,
        lines=tuple(AgreedLine(label=line.label, amount=line.amount) for line in price.lines),
        tax=price.tax_total,
        total=price.total,
        allowance=price.allowance,
        allowance_label=price.allowance_label,
        due=price.due,
        deposit=price.deposit,
        ranges=tuple(each for each in option.ride.profiles if each.possible) if option.ride else (),
        promise=option.promise,
    )
