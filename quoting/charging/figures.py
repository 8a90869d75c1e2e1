"""Charging from each outlet: power, current, time, and what limits it."""

from __future__ import annotations

from quoting.charging.limits import ChargerFigures, charger_figures, wall_limits
from quoting.charging.supply import USUAL_CIRCUITS, Circuit
from quoting.charging.time import ChargedPack, charge_h, current_from_power
from quoting.charging.workings import case_working
from quoting.parts import Charger
from quoting.result import ChargeCase, ChargeFigures, PackFigures, Working
from quoting.setup import Fitted, Setup

MOST_FROM, MOST_TO = 0.2, 0.8  # what people charge on the way: our own choice, said in the texts


def charge_figures(setup: Setup, pack: PackFigures | None) -> ChargeFigures | None:
    """Charging with the charger on the quote, from the customer's circuit, else from the usual ones.

    Parameters: `pack` the option's pack figures. Returns: ChargeFigures, cases empty where a spec is not known, named
    in `missing`; a circuit outside the charger's input range gives no case. None without a pack.
    Source: NEC 210.20(A) and 625.41 for the circuit; constant current, constant voltage charging.
    """
    if pack is None:
        return None
    charger = setup.one(Charger)
    if charger is None:
        return ChargeFigures(missing=("charger",))
    charged, pack_missing = _charged_pack(pack)
    figures, missing = charger_figures(setup, pack, charger)
    named = tuple(dict.fromkeys((*pack_missing, *missing)))
    if charged is None or figures is None:
        return ChargeFigures(missing=named)
    cases, workings = [], []
    for circuit, label in _circuits(setup):
        if _takes(charger.part, circuit):
            case, working = _case(charged, figures, charger, circuit, label)
            cases.append(case)
            workings.append(working)
    return ChargeFigures(cases=tuple(cases), missing=named, workings=tuple(workings))


def _charged_pack(pack: PackFigures) -> tuple[ChargedPack | None, tuple[str, ...]]:
    missing = tuple(
        f"pack {name}"
        for name, value in (
            ("chemistry", pack.chemistry),
            ("full voltage", pack.full_v),
            ("empty voltage", pack.empty_v),
            ("capacity", pack.capacity_ah),
            ("resistance", pack.resistance_ohm),
        )
        if value is None
    )
    if (
        pack.chemistry is None
        or pack.full_v is None
        or pack.empty_v is None
        or pack.capacity_ah is None
        or pack.resistance_ohm is None
    ):
        return None, missing
    if pack.full_v <= pack.empty_v:
        return None, ("pack full voltage above its empty voltage",)
    return (
        ChargedPack(
            chemistry=pack.chemistry,
            full_v=pack.full_v,
            empty_v=pack.empty_v,
            series_cells=pack.series_cells,
            capacity_ah=pack.capacity_ah,
            resistance_ohm=pack.resistance_ohm,
        ),
        (),
    )


def _circuits(setup: Setup) -> tuple[tuple[Circuit, str], ...]:
    wishes = setup.wishes
    if wishes.circuit_v and wishes.circuit_a:
        wished = Circuit(wishes.circuit_v, wishes.circuit_a)
        return ((wished, f"{wished.label}, the customer's"),)
    return tuple((circuit, circuit.label) for circuit in USUAL_CIRCUITS[setup.units])


def _takes(charger: Charger, circuit: Circuit) -> bool:
    """False when the circuit's volts are known to be outside the charger's input range."""
    low, high = charger.input_low_v, charger.input_high_v
    return (low is None or circuit.volts >= low) and (high is None or circuit.volts <= high)


def _case(
    pack: ChargedPack, figures: ChargerFigures, charger: Fitted[Charger], circuit: Circuit, label: str
) -> tuple[ChargeCase, Working]:
    """One outlet: the wall's limit against the current limit, both looked at at half charge."""
    walls = wall_limits(circuit, charger, figures.output_w, figures.efficiency)
    wall, least = min(walls, key=lambda limit: limit.value), figures.least_a
    output_w = wall.value * figures.efficiency
    by_power_a = current_from_power(pack, 0.5, output_w)
    ac_w, dc_a, limited_by = wall.value, by_power_a, wall.name
    if least.value < by_power_a:
        share = least.value / by_power_a
        ac_w, dc_a, limited_by = wall.value * share, least.value, least.name
    case = ChargeCase(
        circuit=f"{circuit.volts:g} V {circuit.breaker_a:g} A",
        label=label,
        ac_w=ac_w,
        dc_a=dc_a,
        full_h=charge_h(pack, 0.0, 1.0, least.value, output_w),
        most_h=charge_h(pack, MOST_FROM, MOST_TO, least.value, output_w),
        limited_by=limited_by,
    )
    return case, case_working(case, figures, walls)
