"""An option's figures as lines to read: label, figure in the shop's units, and the working behind it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from quoting import show
from quoting.pack import size_words
from quoting.request import Wishes
from quoting.result import ChargeFigures, OptionResult, PackFigures, RideFigures, WeightFigures, WiringFigures, Working

PROFILE_WISHES = {"town": "town_km", "back_road": "back_road_km", "highway": "highway_km"}
# Ride figures that are looked at second.
SECOND = (
    "ride-top_kmh",
    "ride-sprint_s",
    "ride-start_grade_percent",
    "ride-climb_grade_percent",
    "ride-cruise_spare_percent",
)


@dataclass(frozen=True)
class Reading:
    """One line. `key` names the figure on the page; `note` explains it, `wish` is what the customer asked for."""

    key: str
    label: str
    value: str
    note: str = ""
    working: Working | None = None
    wish: str = ""


class Workings:
    """The workings of a set of figures, each handed out once; what nobody asked for is the rest."""

    def __init__(self, workings: Iterable[Working]) -> None:
        self.by_figure = {working.figure: working for working in workings}

    def of(self, figure: str) -> Working | None:
        return self.by_figure.pop(figure, None)

    def rest(self) -> tuple[Working, ...]:
        return tuple(self.by_figure.values())


@dataclass(frozen=True)
class Readings:
    """Lines on one subject, workings no line carries, and what would be needed for more."""

    lines: tuple[Reading, ...]
    more: tuple[Working, ...] = ()
    missing: tuple[str, ...] = ()

    @property
    def known(self) -> bool:
        return bool(self.lines)


NOTHING = Readings(())


def ride_readings(ride: RideFigures | None, wishes: Wishes, units: str) -> Readings:
    """Range bands, speeds, hills and sprint."""
    if ride is None:
        return NOTHING
    workings = Workings(ride.workings)
    lines = [
        Reading(
            f"ride-{item.profile}",
            item.label,
            _band(item.low_km, item.high_km, units) if item.possible else "cannot hold it",
            working=workings.of(f"profiles.{item.profile}"),
            wish=_wished(getattr(wishes, PROFILE_WISHES.get(item.profile, ""), None), units),
        )
        for item in ride.profiles
    ]
    rows = (
        ("held_kmh", "Holds", show.show_speed(ride.held_kmh, units), ride.held_limit),
        ("top_kmh", "Top speed", show.show_speed(ride.top_kmh, units), ride.top_limit),
        ("sprint_s", f"0 to {show.show_speed(ride.sprint_to_kmh, units)}", show.show_seconds(ride.sprint_s), ""),
        ("start_grade_percent", "Starts on", _grade(ride.start_grade_percent), ""),
        ("climb_grade_percent", "Climbs for long", _grade(ride.climb_grade_percent), ""),
        (
            "cruise_spare_percent",
            f"Heat headroom at {show.show_speed(ride.cruise_kmh, units)}",
            _headroom(ride.cruise_spare_percent),
            "of what it holds for hours",
        ),
    )
    return Readings((*lines, *_known("ride", rows, workings)), workings.rest(), ride.missing)


def charge_readings(charge: ChargeFigures | None) -> Readings:
    """Time to charge from each outlet."""
    if charge is None:
        return NOTHING
    workings = Workings(charge.workings)
    lines = tuple(
        Reading(
            f"charge-{case.circuit}",
            f"Full charge, {case.label}",
            show.show_hours(case.full_h),
            f"{show.show_watts(case.ac_w)}, limited by {case.limited_by}" if case.limited_by else "",
            workings.of(f"cases.{case.circuit}"),
        )
        for case in charge.cases
    )
    return Readings(lines, workings.rest(), charge.missing)


def pack_readings(pack: PackFigures | None) -> Readings:
    """Voltage, energy, current, resistance, mass."""
    if pack is None:
        return NOTHING
    workings = Workings(pack.workings)
    volts = f"{show.show_volts(pack.empty_v)} empty, {show.show_volts(pack.full_v)} full"
    rows = (
        ("energy_wh", "Energy", show.show_energy(pack.energy_wh), ""),
        ("usable_wh", "of it used", show.show_energy(pack.usable_wh), ""),
        ("nominal_v", "Voltage", show.show_volts(pack.nominal_v), volts),
        ("cont_a", "Current held", show.show_amps(pack.cont_a), pack.cont_limit),
        ("peak_a", "Current for 10 s", show.show_amps(pack.peak_a), pack.peak_limit),
        ("resistance_ohm", "Resistance", show.show_ohms(pack.resistance_ohm), ""),
        ("least_parallel", "Smallest for this drive", size_words(pack, pack.least_parallel), ""),
        ("most_parallel", "Largest the bays hold", size_words(pack, pack.most_parallel), ""),
    )
    return Readings(_known("pack", rows, workings), workings.rest(), pack.missing)


def weight_readings(weight: WeightFigures | None, units: str) -> Readings:
    """Mass after conversion, what may still be loaded, what each axle carries."""
    if weight is None:
        return NOTHING
    workings = Workings(weight.workings)
    change = ""
    if weight.after_kg is not None and weight.before_kg is not None:
        more = weight.after_kg - weight.before_kg
        change = f"{show.show_mass(abs(more), units)} {'more' if more > 0 else 'less'} than the donor"
    rows = (
        ("after_kg", "Ready to ride", show.show_mass(weight.after_kg, units), change),
        ("laden_kg", "Laden", show.show_mass(weight.laden_kg, units), ""),
        ("payload_kg", "May be loaded", show.show_mass(weight.payload_kg, units), ""),
        ("front_laden_kg", "Front axle, laden", show.show_mass(weight.front_laden_kg, units), ""),
        ("rear_laden_kg", "Rear axle, laden", show.show_mass(weight.rear_laden_kg, units), ""),
    )
    return Readings(_known("weight", rows, workings), workings.rest(), weight.missing)


def wiring_readings(wiring: WiringFigures | None, units: str) -> Readings:
    """Cables, fuse, pre-charge, insulation."""
    if wiring is None:
        return NOTHING
    workings = Workings(wiring.workings)
    battery = f"carries {show.show_amps(wiring.battery_ampacity_a)}, held {show.show_amps(wiring.battery_cont_a)}"
    phase = f"carries {show.show_amps(wiring.phase_ampacity_a)}, held {show.show_amps(wiring.phase_cont_a)}"
    rows = (
        ("battery_ampacity_a", "Battery cable", show.show_section(wiring.battery_area_mm2, units), battery),
        ("battery_drop_v", "Drop in it", show.show_volts(wiring.battery_drop_v), ""),
        ("phase_ampacity_a", "Phase cables", show.show_section(wiring.phase_area_mm2, units), phase),
        ("phase_drop_v", "Drop in them", show.show_volts(wiring.phase_drop_v), "between two phases"),
        ("fuse_standard_a", "Main fuse", show.show_amps(wiring.fuse_standard_a), ""),
        ("precharge_95_s", "Pre-charge to 95 %", show.show_seconds(wiring.precharge_95_s), ""),
        (
            "contactor_step_a",
            "Contactor still makes",
            show.show_amps(wiring.contactor_step_a),
            "when it closes at 95 %",
        ),
        ("dcdc_load_w", "Lamps and loads", show.show_watts(wiring.dcdc_load_w), _of(wiring.dcdc_output_w)),
        ("insulation_ohm", "Insulation at least", show.show_ohms(wiring.insulation_ohm), ""),
    )
    return Readings(_known("wiring", rows, workings), workings.rest(), wiring.missing)


def _of(output_w: float | None) -> str:
    return "" if output_w is None else f"of {show.show_watts(output_w)} the converter gives"


def _known(subject: str, rows: Iterable[tuple[str, str, str, str | None]], workings: Workings) -> tuple[Reading, ...]:
    """Lines of the figures that are known: name, label, figure as written, note."""
    return tuple(
        Reading(f"{subject}-{name}", label, value, note or "", workings.of(name))
        for name, label, value, note in rows
        if value != show.NOT_KNOWN
    )


@dataclass(frozen=True)
class OptionReadings:
    """Everything an option's figures say."""

    ride: Readings
    charge: Readings
    pack: Readings
    weight: Readings
    wiring: Readings

    @property
    def road(self) -> Readings:
        """What is asked first: range on each profile, the speed it holds, a full charge."""
        first = tuple(line for line in self.ride.lines if line.key not in SECOND)
        return Readings((*first, *self.charge.lines), (), (*self.ride.missing, *self.charge.missing))

    @property
    def road_more(self) -> Readings:
        """The rest: top speed, sprint, hills."""
        second = tuple(line for line in self.ride.lines if line.key in SECOND)
        return Readings(second, (*self.ride.more, *self.charge.more))


def option_readings(result: OptionResult, wishes: Wishes, units: str) -> OptionReadings:
    return OptionReadings(
        ride_readings(result.ride, wishes, units),
        charge_readings(result.charge),
        pack_readings(result.pack),
        weight_readings(result.weight, units),
        wiring_readings(result.wiring, units),
    )


def _band(low_km: float, high_km: float, units: str) -> str:
    low, high = show.show_distance(low_km, units), show.show_distance(high_km, units)
    return f"{low.rpartition(' ')[0]} to {high}"


def _wished(km: float | None, units: str) -> str:
    return "" if km is None else f"wish {show.show_distance(km, units)}"


def _headroom(percent: float | None) -> str:
    if percent is None:
        return show.NOT_KNOWN
    return f"{show.number(percent)} %" if percent >= 0.0 else f"none, {show.number(-percent)} % too little"


def _grade(percent: float | None) -> str:
    return show.NOT_KNOWN if percent is None else f"{show.number(percent)} % grade"
