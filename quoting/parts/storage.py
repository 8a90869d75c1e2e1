"""Where the energy is kept and looked after: cells, modules, monitors, chargers, converters."""

from __future__ import annotations

from dataclasses import dataclass

from quoting.parts.fields import Part, spec
from quoting.parts.words import BUSES, CHEMISTRIES, INTERLOCKS


@dataclass(frozen=True, kw_only=True)
class Cell(Part):
    """One cell. A pack is series × parallel of these."""

    chemistry: str | None = spec("Chemistry", choices=CHEMISTRIES, help="Decides the voltage curve.")
    nominal_v: float | None = spec("Nominal voltage", "V", low=1, high=15)
    full_v: float | None = spec("Full voltage", "V", low=1, high=16, help="At the end of charge, from the data sheet.")
    empty_v: float | None = spec("Empty voltage", "V", low=0.5, high=13, help="Lowest allowed under load.")
    capacity_ah: float | None = spec("Capacity", "Ah", low=0.1, high=400)
    cont_a: float | None = spec("Continuous current", "A", low=0.1, high=2000)
    peak_a: float | None = spec("Peak current, 10 s", "A", low=0.1, high=4000)
    charge_a: float | None = spec("Charge current", "A", low=0.05, high=1000)
    resistance_mohm: float | None = spec("Resistance", "mohm", low=0.01, high=500, help="DC, 10 s, at half charge.")
    diameter_mm: float | None = spec("Diameter", "mm", low=5, high=200, help="Round cells. Leave empty for a box.")
    charge_low_c: float | None = spec("Coldest charging", "degC", low=-40, high=30)
    charge_high_c: float | None = spec("Hottest charging", "degC", low=20, high=80)
    health_percent: float | None = spec(
        "Health", "%", low=30, high=100, help="Measured capacity against new. 100 for new cells."
    )
    transport_tested: bool | None = spec("Transport tested", help="UN 38.3 test summary held for this cell.")


@dataclass(frozen=True, kw_only=True)
class Module(Part):
    """A ready-made block of cells. Figures are for the whole module; a pack is series × parallel of these."""

    chemistry: str | None = spec("Chemistry", choices=CHEMISTRIES)
    cells_in_series: int | None = spec("Cells in series", low=1, high=120)
    nominal_v: float | None = spec("Nominal voltage", "V", low=1, high=450)
    full_v: float | None = spec("Full voltage", "V", low=1, high=500)
    empty_v: float | None = spec("Empty voltage", "V", low=0.5, high=400)
    capacity_ah: float | None = spec("Capacity", "Ah", low=0.5, high=1000)
    cont_a: float | None = spec("Continuous current", "A", low=0.5, high=3000)
    peak_a: float | None = spec("Peak current, 10 s", "A", low=0.5, high=5000)
    charge_a: float | None = spec("Charge current", "A", low=0.1, high=1000)
    resistance_mohm: float | None = spec("Resistance", "mohm", low=0.01, high=5000)
    charge_low_c: float | None = spec("Coldest charging", "degC", low=-40, high=30)
    charge_high_c: float | None = spec("Hottest charging", "degC", low=20, high=80)
    health_percent: float | None = spec("Health", "%", low=30, high=100)
    transport_tested: bool | None = spec("Transport tested", help="UN 38.3 test summary held for this module.")


@dataclass(frozen=True, kw_only=True)
class Bms(Part):
    """Battery management system: watches every cell group and opens the pack."""

    series_low: int | None = spec("Fewest groups in series", low=1, high=200)
    series_high: int | None = spec("Most groups in series", low=1, high=200)
    chemistries: tuple[str, ...] | None = spec("Chemistries", choices=CHEMISTRIES)
    max_v: float | None = spec("Highest pack voltage", "V", low=5, high=1000)
    cont_a: float | None = spec("Continuous current", "A", low=1, high=3000)
    peak_a: float | None = spec("Peak current, 10 s", "A", low=1, high=5000)
    charge_a: float | None = spec("Charge current", "A", low=0.5, high=1000)
    low_cell_v: float | None = spec("Cell cut-off, low", "V", low=0.5, high=12, help="Opens the pack under load.")
    high_cell_v: float | None = spec("Cell cut-off, high", "V", low=1, high=16)
    charge_low_c: float | None = spec("Blocks charging below", "degC", low=-30, high=20)
    senses_each_group: bool | None = spec("Senses each cell group")
    has_precharge: bool | None = spec("Has its own pre-charge")
    bus: str | None = spec("Data bus", choices=BUSES)
    bus_kbaud: float | None = spec("Bus speed", "kbaud", low=1, high=2000)
    interlocks: tuple[str, ...] | None = spec("Interlocks", choices=INTERLOCKS)


@dataclass(frozen=True, kw_only=True)
class Charger(Part):
    """AC in, pack voltage out."""

    end_v: float | None = spec("End voltage", "V", low=5, high=1000, help="As set for this pack.")
    end_low_v: float | None = spec("Lowest settable end voltage", "V", low=5, high=1000, help="Programmable chargers.")
    end_high_v: float | None = spec("Highest settable end voltage", "V", low=5, high=1000, help="Programmable.")
    start_v: float | None = spec("Starts from", "V", low=0, high=1000, help="Lowest pack voltage it will start on.")
    power_w: float | None = spec("Output power", "W", low=20, high=30000)
    output_a: float | None = spec("Output current", "A", low=0.5, high=500)
    input_low_v: float | None = spec("Lowest input", "V AC", low=80, high=400)
    input_high_v: float | None = spec("Highest input", "V AC", low=80, high=500)
    input_a: float | None = spec("Input current", "A AC", low=0.5, high=100)
    efficiency: float | None = spec("Efficiency", low=0.5, high=1, help="At full power, as a fraction.")
    bus: str | None = spec("Data bus", choices=BUSES)
    bus_kbaud: float | None = spec("Bus speed", "kbaud", low=1, high=2000)


@dataclass(frozen=True, kw_only=True)
class Dcdc(Part):
    """Pack voltage in, lamp voltage out."""

    input_low_v: float | None = spec("Lowest input", "V", low=5, high=1000)
    input_high_v: float | None = spec("Highest input", "V", low=5, high=1000)
    output_v: float | None = spec("Output voltage", "V", low=3, high=60)
    output_a: float | None = spec("Output current", "A", low=0.5, high=200)
    isolated: bool | None = spec("Isolated", help="Pack negative and frame are kept apart.")


@dataclass(frozen=True, kw_only=True)
class Enclosure(Part):
    """The box the pack lives in. Length, width and height are outside figures."""

    inner_length_mm: float | None = spec("Inside length", "mm", low=20, high=2000)
    inner_width_mm: float | None = spec("Inside width", "mm", low=20, high=1000)
    inner_height_mm: float | None = spec("Inside height", "mm", low=20, high=1000)
    sealed: bool | None = spec("Sealed against water", help="IP65 or better with a vent.")
    families: tuple[str, ...] | None = spec("Fits donor families", help="Family codes. Empty for any.")
