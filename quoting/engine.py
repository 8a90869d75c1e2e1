"""quote(): a request in, a result that explains itself out."""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace

from quoting.charging import charge_figures
from quoting.codec import to_json
from quoting.errors import FieldProblem, RequestError
from quoting.pack import pack_figures
from quoting.price import price_sheet
from quoting.promise import PlannedShop, insert, prepare, standing
from quoting.promise.told import Simulated, told_promise
from quoting.promise.told_standing import told_standing
from quoting.request import POWER_COUNTS, TAX_CLASSES, CountrySheet, Option, QuoteRequest
from quoting.result import OptionResult, QuoteResult
from quoting.ride import ride_figures
from quoting.rules import Facts, check, rules_applied
from quoting.setup import setup_of
from quoting.weight import weight_figures
from quoting.wiring import wiring_figures

MOST_OPTIONS = 3
JOBS = ("conversion", "pack_upgrade", "parts_kit", "service")
UNITS = ("us", "metric")


def quote(request: QuoteRequest, simulated: Simulated | None = None, *, sealed: bool = True) -> QuoteResult:
    """Work out every option of a request.

    Parameters: `simulated` kept runs of the shop, so that finish windows are told from them; none: from the plan.
    `sealed`: with the request's fingerprint; without it, `computed_from` stays empty: enough for a screen.
    Returns: a QuoteResult with one OptionResult per option, in order.
    Raises: RequestError naming the fields that can't be worked on; CalendarError when the shop is never open.
    """
    _validate(request)
    planned = prepare(request)
    return QuoteResult(
        day=request.day,
        currency=request.currency,
        units=request.units,
        options=tuple(_option(request, option, planned, simulated) for option in request.options),
        computed_from=fingerprint(request) if sealed else "",
    )


def fingerprint(request: QuoteRequest) -> str:
    """A short digest of a request without its catalogue, which changes no figure. Equal requests, equal digests."""
    text = json.dumps(to_json(replace(request, catalogue=())), sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _option(request: QuoteRequest, option: Option, planned: PlannedShop, simulated: Simulated | None) -> OptionResult:
    setup = setup_of(request, option)
    pack = pack_figures(setup)
    weight = weight_figures(setup, pack)
    ride = ride_figures(setup, pack, weight)
    wiring = wiring_figures(setup, pack, ride)
    charge = charge_figures(setup, pack)
    price = price_sheet(request, option)
    if request.changes:
        promise = told_standing(planned, request.changes, standing(planned, request.changes), simulated)
    else:
        promise = told_promise(planned, option, insert(planned, option), simulated)
    facts = Facts(
        setup=setup,
        pack=pack,
        weight=weight,
        ride=ride,
        wiring=wiring,
        charge=charge,
        price=price,
        promise=promise,
        day=request.day,
        currency=request.currency,
        tax_place=request.tax_place,
    )
    return OptionResult(
        key=option.key,
        label=option.label,
        price=price,
        findings=check(facts),
        rules_checked=rules_applied(facts),
        promise=promise,
        pack=pack,
        ride=ride,
        charge=charge,
        wiring=wiring,
        weight=weight,
    )


def _validate(request: QuoteRequest) -> None:
    problems: list[FieldProblem] = []

    def refuse_unless(fits: bool, field: str, problem: str, remedy: str) -> None:
        if not fits:
            problems.append(FieldProblem(field, problem, remedy))

    count, keys = len(request.options), [option.key for option in request.options]
    refuse_unless(1 <= count <= MOST_OPTIONS, "options", f"has {count}.", "Give one to three.")
    refuse_unless(len(set(keys)) == count, "options", f"keys {keys} repeat.", "Give each option its own key.")
    refuse_unless(request.job in JOBS, "job", f"'{request.job}' is unknown.", f"Use one of {', '.join(JOBS)}.")
    refuse_unless(request.units in UNITS, "units", f"'{request.units}' is unknown.", f"Use {' or '.join(UNITS)}.")
    refuse_unless(request.now.tzinfo is not None, "now", "has no offset.", "Write it with its offset from UTC.")
    for option in request.options:
        for number, line in enumerate(option.parts, start=1):
            where = f"options.{option.key}.parts.{number}"
            refuse_unless(line.quantity > 0, f"{where}.quantity", f"is {line.quantity}.", "Give more than zero.")
            refuse_unless(line.unit_price >= 0, f"{where}.unit_price", "is negative.", "Use a discount instead.")
            refuse_unless(
                line.tax_class in TAX_CLASSES,
                f"{where}.tax_class",
                f"'{line.tax_class}' is unknown.",
                f"Use one of {', '.join(TAX_CLASSES)}.",
            )
        for number, step in enumerate(option.steps, start=1):
            rising = 0 <= step.low_h <= step.likely_h <= step.high_h
            refuse_unless(
                rising, f"options.{option.key}.steps.{number}", "hours do not rise.", "Give low, likely, high in order."
            )
        if option.pack is not None:
            fits = option.pack.series >= 1 and option.pack.parallel >= 1
            refuse_unless(fits, f"options.{option.key}.pack", "has no cells.", "Give series and parallel of 1 or more.")
    if request.country is not None:
        problems.extend(_sheet_problems(request.country))
    if problems:
        raise RequestError(tuple(problems))


def _sheet_problems(sheet: CountrySheet) -> list[FieldProblem]:
    """What is wrong with a country sheet: a limit below zero, a word for power that is not known."""
    problems = [
        FieldProblem(f"country.{name}", f"is {value:g}.", "Give zero or more, or leave it out where there is no limit.")
        for name in ("mass_share", "power_share", "least_age_years", "front_share_points")
        if (value := getattr(sheet, name)) is not None and value < 0
    ]
    if sheet.power_counts not in POWER_COUNTS:
        words = " or ".join(POWER_COUNTS)
        problems.append(FieldProblem("country.power_counts", f"'{sheet.power_counts}' is unknown.", f"Use {words}."))
    return problems
