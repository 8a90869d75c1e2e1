"""Where the energy is kept and looked after: cells, modules, monitors, chargers, converters."""

from __future__ import annotations

from dataclasses import dataclass

from quoting.parts.fields import Part, spec
from quoting.parts.words import BUSES, CHEMISTRIES, INTERLOCKS


@dataclass(frozen=True, kw_only=True)
class Cell(Part):
    """One cell. A pack is series × parallel of these."""

    chemistry: str | None = spec("Chemistry", choices=CHEMISTRIES, help="Decides the voltage curve.")
    nominal_v: float | None = spec(
        "Nominal voltage", "V", low=1, high=15, help="From the data sheet; energy is counted with it."
    )
    full_v: float | None = spec("Full voltage", "V", low=1, high=16, help="At the end of charge, from the data sheet.")
    empty_v: float | None = spec("Empty voltage", "V", low=0.5, high=13, help="Lowest allowed under load.")
    capacity_ah: float | None = spec("Capacity", "Ah", low=0.1, high=400, help="New, at the maker's rate.")
    cont_a: float | None = spec("Continuous current", "A", low=0.1, high=2000, help="Discharge, for good, new.")
    peak_a: float | None = spec("Peak current, 10 s", "A", low=0.1, high=4000, help="Discharge, new.")
    charge_a: float | None = spec("Charge current", "A", low=0.05, high=1000, help="Most it may be charged with.")
    resistance_mohm: float | None = spec("Resistance", "mohm", low=0.01, high=500, help="DC, 10 s, at half charge.")
    diameter_mm: float | None = spec("Diameter", "mm", low=5, high=200, help="Round cells. Leave empty for a box.")
    charge_low_c: float | None = spec(
        "Coldest charging", "degC", low=-40, high=30, help="None below 0 for lithium ion."
    )
    charge_high_c: float | None = spec("Hottest charging", "degC", low=20, high=80, help="From the data sheet.")
    health_percent: float | None = spec(
        "Health", "%", low=30, high=100, help="Measured capacity against new. 100 for new cells."
    )
    transport_tested: bool | None = spec("Transport tested", help="UN 38.3 test summary held for this cell.")


@dataclass(frozen=True, kw_only=True)
class Module(Part):
    """A ready-made block of cells. Figures are for the whole module; a pack is series × parallel of these."""

    chemistry: str | None = spec("Chemistry", choices=CHEMISTRIES, help="Decides the voltage curve.")
    cells_in_series: int | None = spec(
        "Cells in series", low=1, high=120, help="Cell groups one after the other inside."
    )
    nominal_v: float | None = spec(
        "Nominal voltage", "V", low=1, high=450, help="From the data sheet; energy is counted with it."
    )
    full_v: float | None = spec("Full voltage", "V", low=1, high=500, help="At the end of charge.")
    empty_v: float | None = spec("Empty voltage", "V", low=0.5, high=400, help="Lowest allowed under load.")
    capacity_ah: float | None = spec("Capacity", "Ah", low=0.5, high=1000, help="New, at the maker's rate.")
    cont_a: float | None = spec("Continuous current", "A", low=0.5, high=3000, help="Discharge, for good, new.")
    peak_a: float | None = spec("Peak current, 10 s", "A", low=0.5, high=5000, help="Discharge, new.")
    charge_a: float | None = spec("Charge current", "A", low=0.1, high=1000, help="Most it may be charged with.")
    resistance_mohm: float | None = spec(
        "Resistance", "mohm", low=0.01, high=5000, help="DC, 10 s, at half charge, plug to plug."
    )
    charge_low_c: float | None = spec(
        "Coldest charging", "degC", low=-40, high=30, help="None below 0 for lithium ion."
    )
    charge_high_c: float | None = spec("Hottest charging", "degC", low=20, high=80, help="From the data sheet.")
    health_percent: float | None = spec(
        "Health", "%", low=30, high=100, help="Measured capacity against new. 100 for new modules."
    )
    transport_tested: bool | None = spec("Transport tested", help="UN 38.3 test summary held for this module.")


@dataclass(frozen=True, kw_only=True)
class Bms(Part):
    """Battery management system: watches every cell group and opens the pack."""

    series_low: int | None = spec(
        "Fewest groups in series", low=1, high=200, help="Counted in cell groups, not modules."
    )
    series_high: int | None = spec(
        "Most groups in series", low=1, high=200, help="Counted in cell groups, not modules."
    )
    chemistries: tuple[str, ...] | None = spec(
        "Chemistries", choices=CHEMISTRIES, help="Chemistries it can be set for."
    )
    max_v: float | None = spec("Highest pack voltage", "V", low=5, high=1000, help="Absolute.")
    cont_a: float | None = spec("Continuous current", "A", low=1, high=3000, help="Discharge, for good.")
    peak_a: float | None = spec("Peak current, 10 s", "A", low=1, high=5000, help="Discharge, before it opens.")
    charge_a: float | None = spec(
        "Charge current", "A", low=0.5, high=1000, help="Charge and regeneration, before it opens."
    )
    low_cell_v: float | None = spec("Cell cut-off, low", "V", low=0.5, high=12, help="Opens the pack under load.")
    high_cell_v: float | None = spec("Cell cut-off, high", "V", low=1, high=16, help="Ends the charge.")
    charge_low_c: float | None = spec(
        "Blocks charging below", "degC", low=-30, high=20, help="Coldest cell at which it lets charge in."
    )
    charge_high_c: float | None = spec(
        "Blocks charging above", "degC", low=20, high=90, help="Hottest cell at which it lets charge in."
    )
    senses_each_group: bool | None = spec("Senses each cell group", help="A wire to every group in series.")
    has_precharge: bool | None = spec("Has its own pre-charge", help="Fills the controller before it closes.")
    bus: str | None = spec("Data bus", choices=BUSES, help="none where it has no bus.")
    bus_kbaud: float | None = spec("Bus speed", "kbaud", low=1, high=2000, help="As set.")
    interlocks: tuple[str, ...] | None = spec(
        "Interlocks", choices=INTERLOCKS, help="What it can hold the drive off for."
    )


@dataclass(frozen=True, kw_only=True)
class Charger(Part):
    """AC in, pack voltage out."""

    end_v: float | None = spec("End voltage", "V", low=5, high=1000, help="As set for this pack.")
    end_low_v: float | None = spec("Lowest settable end voltage", "V", low=5, high=1000, help="Programmable chargers.")
    end_high_v: float | None = spec("Highest settable end voltage", "V", low=5, high=1000, help="Programmable.")
    start_v: float | None = spec("Starts from", "V", low=0, high=1000, help="Lowest pack voltage it will start on.")
    power_w: float | None = spec("Output power", "W", low=20, high=30000, help="At most, into the pack.")
    output_a: float | None = spec("Output current", "A", low=0.5, high=500, help="At most, into the pack.")
    input_low_v: float | None = spec("Lowest input", "V AC", low=80, high=400, help="Mains it runs on.")
    input_high_v: float | None = spec("Highest input", "V AC", low=80, high=500, help="Mains it runs on.")
    input_a: float | None = spec("Input current", "A AC", low=0.5, high=100, help="Drawn from the wall at full power.")
    efficiency: float | None = spec("Efficiency", low=0.5, high=1, help="At full power, as a fraction.")
    bus: str | None = spec("Data bus", choices=BUSES, help="none where it has no bus.")
    bus_kbaud: float | None = spec("Bus speed", "kbaud", low=1, high=2000, help="As set.")


@dataclass(frozen=True, kw_only=True)
class Dcdc(Part):
    """Pack voltage in, lamp voltage out."""

    input_low_v: float | None = spec("Lowest input", "V", low=5, high=1000, help="It stops below.")
    input_high_v: float | None = spec(
        "Highest input", "V", low=5, high=1000, help="Absolute; full pack must stay under it."
    )
    output_v: float | None = spec("Output voltage", "V", low=3, high=60, help="For lamps and electronics.")
    output_a: float | None = spec("Output current", "A", low=0.5, high=200, help="For good.")
    isolated: bool | None = spec("Isolated", help="Pack negative and frame are kept apart.")


@dataclass(frozen=True, kw_only=True)
class Enclosure(Part):
    """The box the pack lives in. Length, width and height are outside figures."""

    inner_length_mm: float | None = spec("Inside length", "mm", low=20, high=2000, help="Room for cells.")
    inner_width_mm: float | None = spec("Inside width", "mm", low=20, high=1000, help="Room for cells.")
    inner_height_mm: float | None = spec("Inside height", "mm", low=20, high=1000, help="Room for cells.")
    sealed: bool | None = spec("Sealed against water", help="IP65 or better with a vent.")
    families: tuple[str, ...] | None = spec("Fits donor families", help="Family codes. Empty for any.")
