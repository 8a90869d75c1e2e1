"""Dated tax rates: which ones are in force on a day, and what is wrong with a table of them."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from quoting.errors import FieldProblem, RequestError
from quoting.request import TAX_CLASSES, Authority, DatedRate, TaxPlace

MODES = ("added", "included")
NO_RATES: tuple[DatedRate | None, ...] = ()


@dataclass(frozen=True)
class Stack:
    """The authorities of a place and, per tax class, each one's rate on a day; None where it does not tax the class.

    `missing` names in plain words the rates nobody has entered; then no tax can be worked out.
    """

    authorities: tuple[Authority, ...]
    rates: Mapping[str, tuple[DatedRate | None, ...]]
    missing: tuple[str, ...] = ()

    def key(self, tax_class: str) -> tuple[Decimal | None, ...]:
        """The rate of each authority for a class: classes with the same key are taxed alike."""
        return tuple(rate.rate if rate else None for rate in self.rates.get(tax_class, NO_RATES))

    def combined(self, tax_class: str) -> Fraction:
        """Sum of the authorities' rates for a class [0..]."""
        return sum((Fraction(rate) for rate in self.key(tax_class) if rate is not None), Fraction(0))


def stack_on(place: TaxPlace, classes: Collection[str], day: date) -> Stack:
    """The rates of a place for the classes in use.

    Parameters: `place`; `classes` the tax classes with an amount to tax; `day` the tax date. Returns: the stack; what
    an authority neither taxes nor states as not taxed on the day is in `missing`.
    Raises: RequestError when the place's table cannot be used: values out of range, two rates on one day, caps or
    thresholds where tax is included.
    """
    problems = list(mode_problems(place))
    missing: list[str] = [] if place.authorities else [f"tax authorities of {place.name}"]
    rates: dict[str, list[DatedRate | None]] = {tax_class: [] for tax_class in classes}
    for number, authority in enumerate(place.authorities, start=1):
        where = f"tax_place.authorities.{number} ({authority.name})"
        for tax_class in classes:
            found = [rate for rate in authority.rates if rate.tax_class == tax_class and in_force(rate, day)]
            if not found:
                missing.append(f"{authority.name}: rate for {tax_class.replace('_', ' ')} on {day:%Y-%m-%d}")
            if len(found) > 1:
                text = f"{len(found)} rates for {tax_class} on {day:%Y-%m-%d}."
                problems.append(FieldProblem(where, text, "End one before the other begins."))
            problems.extend(FieldProblem(where, p.problem, p.remedy) for r in found for p in value_problems(r, ""))
            rates[tax_class].append(found[0] if found and found[0].taxed else None)
    if problems:
        raise RequestError(tuple(problems))
    return Stack(place.authorities, {name: tuple(row) for name, row in rates.items()}, tuple(missing))


def untaxed(place: TaxPlace) -> Stack:
    """The stack for a customer nobody may tax: the same authorities, none of them taxing anything."""
    return Stack(place.authorities, {})


def in_force(rate: DatedRate, day: date) -> bool:
    """Whether a rate holds on a day; begin and end are both included."""
    return rate.begin <= day and (rate.end is None or day <= rate.end)


def rate_problems(rates: Sequence[DatedRate], required: Collection[str] = ()) -> tuple[FieldProblem, ...]:
    """What is wrong with one authority's dated rates: for the entry form and the import.

    Parameters: `rates` in any order; `required` tax classes that must have a rate or a "not taxed". Returns: problems,
    fields named `rates.N.begin` with N counted from 1 in the order given; empty when all is well. Found are values out
    of range, overlaps, gaps between two rates of a class, and required classes without any.
    """
    problems = [p for number, rate in enumerate(rates, start=1) for p in value_problems(rate, f"rates.{number}.")]
    by_class: dict[str, list[tuple[int, DatedRate]]] = {}
    for number, rate in enumerate(rates, start=1):
        by_class.setdefault(rate.tax_class, []).append((number, rate))
    for tax_class, numbered in by_class.items():
        numbered.sort(key=lambda item: (item[1].begin, item[0]))
        problems.extend(_seams(tax_class, numbered))
    for tax_class in required:
        if tax_class not in by_class:
            remedy = "Enter its rate, or state that it is not taxed."
            problems.append(FieldProblem("rates", f"nothing is entered for {tax_class.replace('_', ' ')}.", remedy))
    return tuple(problems)


def place_problems(place: TaxPlace, required: Collection[str] = TAX_CLASSES) -> tuple[FieldProblem, ...]:
    """What is wrong with a whole place: its mode, its authorities' names, and every authority's rates."""
    problems = list(mode_problems(place))
    if not place.authorities:
        problems.append(FieldProblem("authorities", "none is entered.", "Enter one, with its rates or 'not taxed'."))
    names = [authority.name for authority in place.authorities]
    for number, authority in enumerate(place.authorities, start=1):
        if names.index(authority.name) != number - 1:
            problems.append(FieldProblem(f"authorities.{number}.name", "is entered twice.", "Remove one of them."))
        found = rate_problems(authority.rates, required)
        problems.extend(FieldProblem(f"authorities.{number}.{p.field}", p.problem, p.remedy) for p in found)
    return tuple(problems)


def value_problems(rate: DatedRate, prefix: str) -> tuple[FieldProblem, ...]:
    """What is wrong with one rate by itself; fields named after `prefix`."""
    found: list[tuple[str, str, str]] = []
    if rate.tax_class not in TAX_CLASSES:
        found.append(("tax_class", f"'{rate.tax_class}' is unknown.", f"Use one of {', '.join(TAX_CLASSES)}."))
    if not rate.rate.is_finite() or not 0 <= rate.rate <= 1:
        found.append(("rate", "is not between 0 and 100 %.", "Enter 7.25 % as 0.0725."))
    elif not rate.taxed and rate.rate:
        found.append(("rate", "is set although the class is not taxed.", "Set the rate to 0, or mark it as taxed."))
    if rate.end is not None and rate.end < rate.begin:
        found.append(("end", "is before the begin date.", "Correct one of the two dates."))
    if rate.cap is not None and not (rate.cap.is_finite() and rate.cap > 0):
        found.append(("cap", "must be more than zero.", "Leave it empty for no cap, or mark the class as not taxed."))
    if rate.threshold is not None and not (rate.threshold.is_finite() and rate.threshold >= 0):
        found.append(("threshold", "must not be negative.", "Leave it empty for no threshold."))
    if rate.whole and not rate.threshold:
        found.append(("threshold", "is missing: all or nothing of what?", "Enter it, or untick all or nothing."))
    return tuple(FieldProblem(prefix + field, problem, remedy) for field, problem, remedy in found)


def mode_problems(place: TaxPlace) -> tuple[FieldProblem, ...]:
    """Whether the place's mode is known and fits its rates."""
    if place.mode not in MODES:
        return (FieldProblem("tax_place.mode", f"'{place.mode}' is unknown.", f"Use one of {', '.join(MODES)}."),)
    if place.mode == "included":
        limited = [a.name for a in place.authorities if any(r.cap is not None or r.threshold for r in a.rates)]
        if limited:
            problem = f"caps and thresholds of {', '.join(limited)} cannot be used where prices include tax."
            return (FieldProblem("tax_place.mode", problem, "Remove them, or set the place to tax added on top."),)
    return ()


def _seams(tax_class: str, numbered: Sequence[tuple[int, DatedRate]]) -> list[FieldProblem]:
    """Overlaps and gaps between the rates of one class, sorted by begin date."""
    problems = []
    latest_number, latest = numbered[0]
    for number, rate in numbered[1:]:
        field, words = f"rates.{number}.begin", tax_class.replace("_", " ")
        if latest.end is None or rate.begin <= latest.end:
            text = f"{words} from {rate.begin} overlaps rate {latest_number}, which holds to {latest.end or 'further'}."
            problems.append(FieldProblem(field, text, "End the earlier rate the day before this one begins."))
        elif (rate.begin - latest.end).days > 1:
            first, last = latest.end + timedelta(days=1), rate.begin - timedelta(days=1)
            text = f"{words} has no rate from {first} to {last}."
            problems.append(FieldProblem(field, text, "Close the gap, or enter 'not taxed' for it."))
        if latest.end is not None and (rate.end is None or rate.end > latest.end):
            latest_number, latest = number, rate
    return problems
