"""How each headline figure of the pack came about, as the shop reads it."""

from __future__ import annotations

from quoting.pack.build import ASSUMED_BOX_SHARE, Built
from quoting.pack.curves import CURVE_SOURCE
from quoting.pack.demand import Demand
from quoting.pack.heat import BOX_W_PER_K_KG, CELL_HEAT_J_PER_KG_K, HOT_C
from quoting.pack.limits import Chain, Link
from quoting.pack.sag import worst_point
from quoting.result import PackFigures, Working
from quoting.setup import Setup
from quoting.show import (
    show_amps,
    show_energy,
    show_hours,
    show_mass,
    show_ohms,
    show_percent,
    show_temperature,
    show_volts,
    show_watts,
)


def built_workings(setup: Setup, built: Built) -> list[Working]:
    """Energy, usable energy, resistance, mass: those that are known."""
    found = _energy(setup, built)
    unit, plan = built.unit, built.plan
    if built.resistance_ohm is not None:
        found.append(
            Working(
                figure="resistance_ohm",
                label="Resistance",
                formula="series ÷ parallel × cell resistance + links",
                inputs=(
                    ("series × parallel", f"{plan.series} × {plan.parallel}"),
                    (f"{unit.word} resistance", show_ohms(unit.resistance_ohm)),
                    ("links", show_ohms(plan.link_mohm / 1000.0)),
                ),
                result=show_ohms(built.resistance_ohm),
                source=f"{unit.word} data sheet, DC, 10 s, at half charge",
            )
        )
    if built.mass_kg is not None:
        box = f"{show_percent(ASSUMED_BOX_SHARE)} of the cells (assumed)" if built.mass_assumed else "on the quote"
        found.append(
            Working(
                figure="mass_kg",
                label="Pack mass",
                formula="cells + pack box",
                inputs=(("cells", show_mass(built.cell_kg, setup.units)), ("pack box", box)),
                result=show_mass(built.mass_kg, setup.units),
                source="data sheets; 20 to 60 % for box and bus bars from memory of built packs",
            )
        )
    return found


def _energy(setup: Setup, built: Built) -> list[Working]:
    if built.energy_wh is None:
        return []
    unit, plan = built.unit, built.plan
    share = setup.policies.usable_share
    return [
        Working(
            figure="energy_wh",
            label="Energy",
            formula="series × parallel × nominal voltage × capacity × health",
            inputs=(
                ("series × parallel", f"{plan.series} × {plan.parallel}"),
                ("nominal voltage", show_volts(unit.nominal_v)),
                ("capacity, new", f"{unit.new_capacity_ah:g} Ah"),
                ("health", show_percent(unit.health) + ("" if unit.health_known else " (assumed)")),
            ),
            result=show_energy(built.energy_wh),
            source=f"{unit.word} data sheet",
        ),
        Working(
            figure="usable_wh",
            label="Usable energy",
            formula="energy × usable share",
            inputs=(("energy", show_energy(built.energy_wh)), ("usable share", show_percent(share))),
            result=show_energy(built.energy_wh * share),
            source="shop setting",
        ),
    ]


def limit_workings(figures: PackFigures, chain: Chain, charge: Chain) -> list[Working]:
    """Continuous, 10 s and charge current by the weakest link; short circuit current."""
    found = []
    for figure, label, value, limit, texts in (
        ("cont_a", "Continuous current", figures.cont_a, figures.cont_limit, _links(chain, "cont_a")),
        ("peak_a", "Current for 10 s", figures.peak_a, figures.peak_limit, _links(chain, "peak_a")),
        ("charge_a", "Charge current taken", figures.charge_a, figures.charge_limit, _links(charge, "cont_a")),
    ):
        if value is not None:
            found.append(
                Working(
                    figure=figure,
                    label=label,
                    formula="the least of every part the current passes through",
                    inputs=texts,
                    result=f"{show_amps(value)}, limited by {limit}",
                    source="data sheets; public practitioner report, case B6",
                )
            )
    if figures.short_circuit_a is not None:
        found.append(
            Working(
                figure="short_circuit_a",
                label="Short circuit current",
                formula="full voltage ÷ pack resistance",
                inputs=(
                    ("full voltage", show_volts(figures.full_v)),
                    ("pack resistance", show_ohms(figures.resistance_ohm)),
                ),
                result=show_amps(figures.short_circuit_a),
                source="Ohm's law, a dead short at the pack's terminals",
            )
        )
    return found


def _links(chain: Chain, field: str) -> tuple[tuple[str, str], ...]:
    return tuple((link.name, _carried(link, field)) for link in chain.links)


def _carried(link: Link, field: str) -> str:
    text = show_amps(link.cont_a if field == "cont_a" else link.peak_a)
    note = link.cont_note if field == "cont_a" else link.peak_note
    return f"{text} ({note})" if note else text


def power_workings(figures: PackFigures, half_v: float) -> list[Working]:
    """Power at half charge and the most the pack can give."""
    inputs = (("rested voltage at 50 %", show_volts(half_v)), ("resistance", show_ohms(figures.resistance_ohm)))
    found = []
    for figure, label, power, current in (
        ("cont_w", "Continuous power", figures.cont_w, figures.cont_a),
        ("peak_w", "Power for 10 s", figures.peak_w, figures.peak_a),
    ):
        if power is not None:
            found.append(
                Working(
                    figure=figure,
                    label=label,
                    formula="(U − I·R)·I",
                    inputs=(*inputs, ("current", show_amps(current))),
                    result=show_watts(power),
                    source=f"Ohm's law; {CURVE_SOURCE}",
                )
            )
    if figures.ceiling_w is not None:
        found.append(
            Working(
                figure="ceiling_w",
                label="Most the pack could ever give",
                formula="U²/(4·R)",
                inputs=inputs,
                result=show_watts(figures.ceiling_w),
                source=f"Ohm's law; {CURVE_SOURCE}",
            )
        )
    return found


def sag_working(figures: PackFigures, demand: Demand) -> list[Working]:
    """The worst of the loads looked at, against the highest cut-off."""
    worst = worst_point(figures.sag)
    if worst is None:
        return []
    where = f"{worst.load} power at {show_percent(worst.soc)} charge"
    loaded = "it cannot give that power" if worst.loaded_v is None else f"{show_volts(worst.loaded_v)} loaded"
    return [
        Working(
            figure="sag",
            label="Voltage under load, worst",
            formula="I = (U − √(U² − 4·R·W))/(2·R); loaded voltage = U − I·R",
            inputs=(
                *demand.inputs,
                ("load", f"{where}: {show_watts(worst.power_w)}"),
                ("rested voltage", show_volts(worst.open_v)),
                ("resistance", show_ohms(figures.resistance_ohm)),
                ("current", show_amps(worst.current_a)),
                ("highest cut-off", f"{show_volts(figures.cut_v)}, {figures.cut_by or 'none known'}"),
            ),
            result=f"{loaded} at {where}",
            source=f"Ohm's law; {CURVE_SOURCE}",
        )
    ]


def heat_working(setup: Setup, figures: PackFigures, current_a: float, cell_kg: float) -> list[Working]:
    """Minutes at continuous power before the pack is hot."""
    hot, start = show_temperature(HOT_C, setup.units), show_temperature(setup.policies.warm_c, setup.units)
    steady = show_temperature(figures.heat_steady_c, setup.units)
    minutes = None if figures.heat_minutes is None else figures.heat_minutes / 60.0
    return [
        Working(
            figure="heat_minutes",
            label=f"Minutes at continuous power before {hot}",
            formula="T = T0 + rise·(1 − e^(−t/τ)); rise = I²·R/(W/K); τ = m·c/(W/K)",
            inputs=(
                ("current", show_amps(current_a)),
                ("resistance", show_ohms(figures.resistance_ohm)),
                ("cells", show_mass(cell_kg, setup.units)),
                ("start", start),
                ("heat taken up", f"{CELL_HEAT_J_PER_KG_K:g} J/(kg K) (assumed)"),
                ("heat given off", f"{BOX_W_PER_K_KG * cell_kg:.2g} W/K (assumed, closed box, no cooling)"),
            ),
            result=f"settles at {steady}, below {hot}" if minutes is None else show_hours(minutes),
            source="one-lump heat balance; heat capacity from memory, heat given off common practice, no source",
        )
    ]
