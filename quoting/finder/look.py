"""One set through the engine: every figure, every rule that can refuse it, its price and its finish."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from quoting.charging import charge_figures
from quoting.finder.bench import Bench, Chosen
from quoting.finder.tables import stops
from quoting.finder.wished import Miss, missed, reached
from quoting.pack import pack_figures
from quoting.price import price_sheet
from quoting.promise import PlannedShop, insert
from quoting.ride import ride_figures
from quoting.rules import Facts, Rule
from quoting.weight import weight_figures
from quoting.wiring import wiring_figures

UNPLACED = "unplaced"


@dataclass(frozen=True)
class Looked:
    """A set worked out. `stopped` id of the rule that refuses it, UNPLACED where something has no place in the bays,
    "" where nothing does. `merit` price [currency], worst range [km], held speed [km/h], weight [kg], finish [ordinal
    day], rounded as shown, None when a figure is not known. `values` by wish.
    """

    chosen: Chosen
    stopped: str
    merit: tuple[float, int, int, int, int] | None
    values: Mapping[str, float | None]
    misses: tuple[Miss, ...]
    finish: date | None
    mass_kg: float | None


def look(
    bench: Bench, planned: PlannedShop, rules: tuple[Rule, ...], refused: frozenset[str], chosen: Chosen,
    wishes: tuple[str, ...],
) -> Looked:  # fmt: skip
    """Work a set out. Parameters: `rules` every rule that can refuse a set; `wishes` names of those made."""
    request = bench.question.request
    setup = bench.setup(chosen)
    pack = pack_figures(setup)
    weight = weight_figures(setup, pack)
    ride = ride_figures(setup, pack, weight)
    facts = Facts(
        setup=setup,
        pack=pack,
        weight=weight,
        ride=ride,
        wiring=wiring_figures(setup, pack, ride),
        charge=charge_figures(setup, pack),
        day=request.day,
        currency=request.currency,
        tax_place=request.tax_place,
    )
    mass_kg = weight.after_kg if weight else None
    stopped = next((rule.id for rule in rules if stops(rule, facts, refused)), "")
    if not stopped and pack is not None and pack.unplaced:
        stopped = UNPLACED
    if stopped:
        return Looked(chosen, stopped, None, {}, (), None, mass_kg)
    due = price_sheet(request, setup.option).due
    finish = insert(planned, setup.option).finish_to
    values = reached(ride, facts.charge, due, finish, request.day)
    misses = missed(request.wishes, wishes, values, ride)
    merit = None
    if ride and ride.profiles and ride.held_kmh is not None and mass_kg is not None:
        worst_km = min(profile.likely_km for profile in ride.profiles)
        merit = merit_of(float(due), worst_km, ride.held_kmh, mass_kg, finish)
    return Looked(chosen, "", merit, values, misses, finish, mass_kg)


def merit_of(
    price: float, worst_km: float, held_kmh: float, mass_kg: float, finish: date | None
) -> tuple[float, int, int, int, int]:
    """The five figures sets are compared by; no finish counts as the last of all days.

    Whole kilometers, km/h and kilograms: two sets that differ by less are one to the customer. Money and days are
    compared as they are. Our own rule.
    """
    day = (finish or date.max).toordinal()
    return price, round(worst_km), round(held_kmh), round(mass_kg), day


def as_good(one: tuple[float, int, int, int, int], other: tuple[float, int, int, int, int]) -> bool:
    """Whether one set is at least as good as another in all five."""
    return (
        one[0] <= other[0] and one[1] >= other[1] and one[2] >= other[2] and one[3] <= other[3] and one[4] <= other[4]
    )
