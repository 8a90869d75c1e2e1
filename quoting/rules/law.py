"""Transport of packs and local limits on conversions. Local law decides; these rules point at it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from quoting.parts import Cell, Module
from quoting.rules.facts import Facts
from quoting.rules.registry import rule
from quoting.rules.said import Said, Says, above, at_most, below, plainly
from quoting.rules.ways_out import act, exchange
from quoting.show import show_energy, show_mass, show_percent, show_power

SMALL_PACK_WH = 100.0  # 49 CFR 173.185(c): a battery of at most 100 Wh may use the small-battery relief


@dataclass(frozen=True)
class RetrofitLimits:
    """What a country allows a conversion to change: mass as a share of the donor's, power, age of the donor [years]."""

    mass_share: float
    power_over_engine: float
    least_years: int


# Public practitioner report, case B41: France, mass within 20 % of the donor, power at most the engine's, 3 years.
RETROFIT: Mapping[str, RetrofitLimits] = MappingProxyType(
    {"FR": RetrofitLimits(0.20, 1.0, 3), "FRANCE": RetrofitLimits(0.20, 1.0, 3)}
)
RETROFIT_SOURCE = "public practitioner report, case B41: France; the authority's own text decides"


def _limits(facts: Facts) -> RetrofitLimits | None:
    donor = facts.setup.donor
    return RETROFIT.get((donor.market or "").strip().upper()) if donor else None


@rule(
    "pack-by-carrier",
    "law",
    title="Pack leaves by carrier: dangerous goods",
    levels=("check",),
    reads=("pack.energy_wh",),
    when=("cell",),
    where=lambda facts, item: facts.setup.wishes.by_carrier,
    source="49 CFR 173.185: class 9, UN 3480 alone, UN 3481 with equipment, above 100 Wh a battery; whole bike UN 3171 "
    "or UN 3556, 49 CFR 173.220",
)
def pack_by_carrier(facts: Facts, energy_wh: float) -> Says:
    """A pack above 100 Wh that leaves by carrier goes as dangerous goods, by someone trained to ship it."""
    if not above(energy_wh, SMALL_PACK_WH):
        return None
    whole = facts.setup.job in ("conversion", "pack_upgrade")
    how = "In the bike it goes as UN 3171 or UN 3556" if whole else "It goes as class 9, UN 3480 or UN 3481"
    text = (
        f"The pack holds {show_energy(energy_wh)}. {how}, packed, marked and papered by a trained shipper; by "
        "air at 30 % charge."
    )
    ways = (act("Name the carrier and who signs the papers"), act("Have it collected at the shop"))
    return at_most("check", text, energy_wh, SMALL_PACK_WH, "Wh", *ways)


@rule(
    "pack-design-untested",
    "law",
    title="Cells or pack not tested for transport",
    levels=("stop", "check"),
    when=("cell",),
    reads=("cell.transport_tested",),
    where=lambda facts, item: facts.setup.wishes.by_carrier,
    source="UN Manual of Tests and Criteria 38.3: a pack of tested cells is a new type; 49 CFR 173.185(e): at "
    "most 100 a year",
)
def pack_design_untested(facts: Facts, tested: bool) -> Says:
    """A pack that leaves by carrier is of a design that passed UN 38.3, and so are its cells."""
    whole = facts.setup.job in ("conversion", "pack_upgrade")
    made_here = bool(facts.setup.all(Cell)) or sum(item.line.quantity for item in facts.setup.all(Module)) > 1
    if not tested:
        text = "There is no UN 38.3 test summary for the cells: no carrier may take them."
        return plainly("stop", text, exchange("cell"), act("Have the customer collect it"))
    if not made_here or whole:
        return None
    text = (
        "The cells are tested, the pack made of them here is a new design and is not. Only a run of at most "
        "100 a year may "
        "go without the test, in special packing."
    )
    return plainly(
        "check", text, act("Ship tested modules instead"), act("Write down the yearly count and the packing used")
    )


@rule(
    "retrofit-mass",
    "law",
    title="Mass leaves the band a conversion may have here",
    levels=("check",),
    reads=("weight.after_kg", "weight.before_kg"),
    where=lambda facts, item: _limits(facts) is not None,
    source=RETROFIT_SOURCE,
)
def retrofit_mass(facts: Facts, after_kg: float, before_kg: float) -> Says:
    """Where the place limits it, the mass stays within its share of the donor's."""
    limits = _limits(facts)
    share = abs(after_kg / before_kg - 1)
    if limits is None or not above(share, limits.mass_share):
        return None
    units = facts.setup.units
    text = (
        f"{show_mass(before_kg, units)} before, {show_mass(after_kg, units)} after, {show_percent(share)} apart; "
        f"{show_percent(limits.mass_share)} is allowed."
    )
    ask = act("Ask the authority before the quote is offered")
    return at_most("check", text, share * 100, limits.mass_share * 100, "%", ask)


@rule(
    "retrofit-power",
    "law",
    title="More power than the engine had",
    levels=("check",),
    reads=("motor.peak_kw", "donor.engine_kw"),
    where=lambda facts, item: _limits(facts) is not None,
    source=RETROFIT_SOURCE,
)
def retrofit_power(facts: Facts, peak_kw: float, engine_kw: float) -> Says:
    """Where the place limits it, the motor gives no more power than the petrol engine did."""
    limits = _limits(facts)
    if limits is None or not above(peak_kw, engine_kw * limits.power_over_engine):
        return None
    units = facts.setup.units
    text = (
        f"The motor gives {show_power(peak_kw * 1000, units)} at peak, the engine gave "
        f"{show_power(engine_kw * 1000, units)}."
    )
    return at_most(
        "check",
        text,
        peak_kw,
        engine_kw * limits.power_over_engine,
        "kW",
        act("Limit the power in the controller, sealed"),
    )


@rule(
    "retrofit-age",
    "law",
    title="Donor is too young to be converted here",
    levels=("check",),
    reads=("donor.year",),
    where=lambda facts, item: _limits(facts) is not None and facts.day is not None,
    source=RETROFIT_SOURCE,
)
def retrofit_age(facts: Facts, year: int) -> Says:
    """Where the place limits it, the donor has been registered for long enough."""
    limits = _limits(facts)
    if limits is None or facts.day is None or not below(facts.day.year - year, limits.least_years):
        return None
    age = facts.day.year - year
    text = f"The donor is of {year}; {limits.least_years} years are asked for."
    return Said(
        "check", text, age, limits.least_years, age - limits.least_years, "years", (act("Ask the authority first"),)
    )
