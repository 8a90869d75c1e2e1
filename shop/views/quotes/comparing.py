"""Options side by side: the same rows in the same order, whatever the options hold; rows that differ are marked."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from quoting import QuoteResult
from quoting.parts import KINDS
from quoting.request import QuoteRequest
from quoting.result import OptionResult
from shop import written
from shop.readings import OptionReadings, option_readings

NOTHING = "none"
READ = (
    ("On the road", ("ride", "charge")),
    ("Pack", ("pack",)),
    ("Weight", ("weight",)),
    ("Wiring", ("wiring",)),
)


@dataclass(frozen=True)
class ComparedRow:
    """One figure of every option. `differs`: not the same for all."""

    label: str
    values: tuple[str, ...]

    @property
    def differs(self) -> bool:
        return len(set(self.values)) > 1


@dataclass(frozen=True)
class ComparedGroup:
    label: str
    rows: tuple[ComparedRow, ...]


def compared(result: QuoteResult, request: QuoteRequest, locale: str) -> tuple[ComparedGroup, ...]:
    """Price, finish, figures, findings and parts of all options."""
    options = result.options
    read = [option_readings(option, request.wishes, result.units) for option in options]
    groups = [ComparedGroup("What it comes to", _price_rows(options, result.currency, locale))]
    groups += [ComparedGroup(label, _reading_rows(read, subjects)) for label, subjects in READ]
    groups += [ComparedGroup("Findings", _finding_rows(options)), ComparedGroup("Parts", _part_rows(request))]
    return tuple(group for group in groups if group.rows)


def _row(label: str, options: tuple[OptionResult, ...], value: Callable[[OptionResult], str]) -> ComparedRow:
    return ComparedRow(label, tuple(value(option) for option in options))


def _price_rows(options: tuple[OptionResult, ...], currency: str, locale: str) -> tuple[ComparedRow, ...]:
    def money(name: str) -> Callable[[OptionResult], str]:
        return lambda option: written.money(getattr(option.price, name), currency, locale)

    def window(option: OptionResult) -> str:
        promise = option.promise
        if promise is None or promise.finish_from is None:
            return "no date"
        return written.window(promise.finish_from, promise.finish_to, locale, option.price.priced_on)

    return (
        _row("Total", options, money("total")),
        _row("Tax in it", options, money("tax_total")),
        _row("Parts", options, money("parts")),
        _row("Hours", options, money("hours")),
        _row("Deposit now", options, money("deposit")),
        _row("Finished", options, window),
    )


def _reading_rows(read: list[OptionReadings], subjects: tuple[str, ...]) -> tuple[ComparedRow, ...]:
    """Every line any option has, in the order in which the first option to have it shows it."""
    lines = [{line.key: line for subject in subjects for line in getattr(readings, subject).lines} for readings in read]
    keys = dict.fromkeys(key for known in lines for key in known)
    return tuple(
        ComparedRow(
            next(known[key].label for known in lines if key in known),
            tuple(known[key].value if key in known else NOTHING for known in lines),
        )
        for key in keys
    )


def _finding_rows(options: tuple[OptionResult, ...]) -> tuple[ComparedRow, ...]:
    def titles(level: str) -> Callable[[OptionResult], str]:
        return lambda option: "; ".join(dict.fromkeys(item.title for item in option.at_level(level))) or NOTHING

    return tuple(_row(level.upper(), options, titles(level)) for level in ("stop", "check"))


def _part_rows(request: QuoteRequest) -> tuple[ComparedRow, ...]:
    rows = []
    for kind in KINDS.values():
        values = tuple(
            "; ".join(
                line.name if line.quantity == 1 else f"{line.quantity.normalize():f} × {line.name}"
                for line in option.parts
                if line.kind == kind.code
            )
            or NOTHING
            for option in request.options
        )
        if set(values) != {NOTHING}:
            rows.append(ComparedRow(kind.label, values))
    return tuple(rows)
