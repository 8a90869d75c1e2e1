"""What sits in the cables' way: contactor, connectors, and the converter that feeds lamps and electronics."""

from __future__ import annotations

from dataclasses import replace

from quoting.parts import Charger, Connector, Contactor, Dcdc, Display, Lamp
from quoting.result import PackFigures, WiringFigures, Working
from quoting.setup import Setup
from quoting.show import show_amps, show_ohms, show_percent, show_volts, show_watts

CLOSES_AT = 0.95  # share of pack voltage at which the contactor may close; public practitioner report, case B11
DCDC_ROOM = 0.8  # share of its output a converter gives for good; shop setting
# Kind of part, its spec, and its class: what hangs on the low-voltage supply.
LOADS = (("lamp", "load_w", Lamp), ("display", "load_w", Display), ("contactor", "coil_w", Contactor))


def with_joints(setup: Setup, pack: PackFigures, figures: WiringFigures) -> WiringFigures:
    """The figures with contactor, connectors and converter worked out, as far as their specs are known."""
    for work in (_contactor, _connectors, _converter):
        figures = work(setup, pack, figures)
    return figures


def closing_step_a(full_v: float, resistance_ohm: float) -> float:
    """Current that is still made when a contactor closes at 95 % of pack voltage [A]: 0.05 × U / R; 0 without R."""
    return (1.0 - CLOSES_AT) * full_v / resistance_ohm if resistance_ohm else 0.0


def _add(figures: WiringFigures, working: Working, **values: float) -> WiringFigures:
    return replace(figures, workings=(*figures.workings, working), **values)  # type: ignore[arg-type]


def _contactor(setup: Setup, pack: PackFigures, figures: WiringFigures) -> WiringFigures:
    fitted = setup.one(Contactor)
    if fitted is None or pack.full_v is None or pack.resistance_ohm is None:
        return figures
    part, step_a = fitted.part, closing_step_a(pack.full_v, pack.resistance_ohm)
    working = Working(
        figure="contactor_step_a",
        label="Contactor, current it still makes",
        formula="(1 − 0.95) × full voltage ÷ pack resistance, closed at 95 % of pack voltage",
        inputs=(
            ("full voltage", f"{show_volts(pack.full_v)}, contacts for {show_volts(part.max_v)} DC"),
            ("pack resistance", show_ohms(pack.resistance_ohm)),
            ("makes", show_amps(part.make_a)),
            ("carries", f"{show_amps(part.cont_a)}, {show_amps(figures.battery_cont_a)} run for good"),
            ("breaks", f"{show_amps(part.break_a)}, {show_amps(pack.peak_a)} at peak"),
            ("coil", f"{show_volts(part.coil_v)}, {show_watts(part.coil_w)}"),
        ),
        result=show_amps(step_a),
        source="Ohm's law; the maker's data sheet; public practitioner report, case B11",
    )
    return _add(figures, working, contactor_step_a=step_a)


def _connectors(setup: Setup, pack: PackFigures, figures: WiringFigures) -> WiringFigures:
    charger = setup.one(Charger)
    currents = {
        "battery": figures.battery_cont_a,
        "phase": figures.phase_cont_a,
        "charge": charger.part.output_a if charger else None,
    }
    rows, shares = [], []
    for fitted in setup.all(Connector):
        circuit, rated_a = fitted.part.circuit or "", fitted.part.cont_a
        current_a = currents.get(circuit)
        if current_a is None or rated_a is None:
            continue
        rows.append((fitted.line.name, f"{circuit}: {show_amps(current_a)} of {show_amps(rated_a)}"))
        shares.append(current_a / rated_a)
    if not shares:
        return figures
    working = Working(
        figure="connectors",
        label="Connectors",
        formula="current of the circuit ÷ what the contact carries for good",
        inputs=tuple(rows),
        result=f"{show_percent(max(shares))} of the hardest worked one",
        source="the makers' data sheets",
    )
    return _add(figures, working)


def _converter(setup: Setup, pack: PackFigures, figures: WiringFigures) -> WiringFigures:
    fitted = setup.one(Dcdc)
    if fitted is None or fitted.part.output_v is None or fitted.part.output_a is None:
        return figures
    rows, load_w = [], 0.0
    for _, field, part_type in LOADS:
        for item in setup.all(part_type):
            one_w: float | None = getattr(item.part, field)
            if one_w is None:
                return figures
            count = float(item.line.quantity)
            load_w += one_w * count
            rows.append((item.line.name, show_watts(one_w * count)))
    given_w = fitted.part.output_v * fitted.part.output_a
    counted_w = max(load_w, setup.policies.auxiliary_w)
    working = Working(
        figure="dcdc_load_w",
        label="DC-DC converter, load",
        formula=f"Σ loads, at least the shop's figure; output = U·I, {show_percent(DCDC_ROOM)} of it for good",
        inputs=(
            *rows,
            ("the shop's figure for loads", show_watts(setup.policies.auxiliary_w)),
            (
                "output",
                f"{show_volts(fitted.part.output_v)} × {show_amps(fitted.part.output_a)} = {show_watts(given_w)}",
            ),
        ),
        result=f"{show_watts(counted_w)} of {show_watts(DCDC_ROOM * given_w)}",
        source="data sheets; 80 % is a shop setting",
    )
    return _add(figures, working, dcdc_load_w=counted_w, dcdc_output_w=given_w)
