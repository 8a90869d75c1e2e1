"""A sound build to test rules on, and changes to it. Every part and figure is invented.

Pack: 20 in series, 12 in parallel, 4.2 V and 4.5 Ah a cell: 84.0 V full, 72.0 V nominal, 56.0 V empty (2.8 V), 54 Ah,
20/12 × 12 mΩ + 1 mΩ links = 21 mΩ, dead short 84.0/0.021 = 4000 A.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from quoting.charging import charge_figures
from quoting.pack import pack_figures
from quoting.price import price_sheet
from quoting.request import (
    Authority,
    Bay,
    CatalogueItem,
    CountrySheet,
    DatedRate,
    Donor,
    Option,
    PackPlan,
    PartLine,
    Policies,
    QuoteRequest,
    ShopState,
    TaxPlace,
    Wishes,
)
from quoting.result import Finding, Promise
from quoting.ride import ride_figures
from quoting.rules import NOT_CHECKED, Facts, check
from quoting.setup import setup_of
from quoting.weight import weight_figures
from quoting.wiring import wiring_figures

DAY = date(2026, 3, 2)
Spec = Mapping[str, Any]

MOTOR: Spec = {
    "mount": "hub", "nominal_v": 72, "max_v": 96, "cont_kw": 7, "peak_kw": 14, "peak_s": 90, "kv_rpm_per_v": 14,
    "torque_nm_per_a": 0.7, "peak_torque_nm": 200, "max_rpm": 1300, "phase_cont_a": 180, "phase_peak_a": 400,
    "demag_phase_a": 600, "peak_efficiency": 0.9, "copper_loss_w": 600, "no_load_loss_w": 150, "rotor_sensor": "hall",
    "cooling": "air", "gear_ratio": 1, "phase_lead_mm2": 25, "dropout_mm": 190, "axle_mm": 16, "axle_flats_mm": 12,
    "brake_side": "right", "wheel_inch": 17, "mass_kg": 20,
}  # fmt: skip
CONTROLLER: Spec = {
    "min_v": 48, "max_v": 105, "low_cut_v": 61, "battery_cont_a": 120, "battery_peak_a": 200, "phase_cont_a": 160,
    "phase_peak_a": 380, "regen_a": 20, "efficiency": 0.96, "modulation": 0.95, "capacitance_uf": 5000,
    "throttles": ["hall"], "rotor_sensors": ["hall"], "bus": "can", "bus_kbaud": 250,
    "interlocks": ["side-stand", "brake-cutoff", "kill-switch", "charge-inhibit"], "tested_motors": ["motor"],
    "throttle_isolated": True, "mass_kg": 4, "length_mm": 220, "width_mm": 150, "height_mm": 70,
}  # fmt: skip
CELL: Spec = {
    "chemistry": "nmc", "nominal_v": 3.6, "full_v": 4.2, "empty_v": 2.8, "capacity_ah": 4.5, "cont_a": 20, "peak_a": 35,
    "charge_a": 4.5, "resistance_mohm": 12, "diameter_mm": 21.4, "length_mm": 70.6, "mass_kg": 0.07, "charge_low_c": 0,
    "charge_high_c": 45, "health_percent": 100, "transport_tested": True,
}  # fmt: skip
BMS: Spec = {
    "series_low": 14, "series_high": 24, "chemistries": ["nmc"], "max_v": 105, "cont_a": 200, "peak_a": 350,
    "charge_a": 60, "low_cell_v": 2.85, "high_cell_v": 4.25, "charge_low_c": 2, "charge_high_c": 45,
    "senses_each_group": True, "has_precharge": False, "bus": "can", "bus_kbaud": 250, "interlocks": ["charge-inhibit"],
    "mass_kg": 0.8, "length_mm": 160, "width_mm": 95, "height_mm": 28,
}  # fmt: skip
CHARGER: Spec = {
    "end_v": 84, "start_v": 45, "power_w": 1300, "output_a": 16, "input_low_v": 100, "input_high_v": 250, "input_a": 12,
    "efficiency": 0.92, "bus": "can", "bus_kbaud": 250, "mass_kg": 3, "length_mm": 230, "width_mm": 115,
    "height_mm": 65,
}  # fmt: skip
DCDC: Spec = {
    "input_low_v": 45, "input_high_v": 105, "output_v": 13.8, "output_a": 20, "isolated": True, "mass_kg": 0.7,
    "length_mm": 125, "width_mm": 78, "height_mm": 42,
}  # fmt: skip
ENCLOSURE: Spec = {
    "length_mm": 440, "width_mm": 250, "height_mm": 330, "inner_length_mm": 430, "inner_width_mm": 240,
    "inner_height_mm": 320, "sealed": True, "mass_kg": 5,
}  # fmt: skip
CONTACTOR: Spec = {
    "max_v": 150, "cont_a": 250, "make_a": 600, "break_a": 2000, "coil_v": 12, "coil_w": 8, "mass_kg": 0.6,
    "length_mm": 88, "width_mm": 68, "height_mm": 72,
}  # fmt: skip
FUSE: Spec = {"rating_a": 175, "dc_v": 125, "breaking_a": 10000, "clearing_a2s": 120000, "mass_kg": 0.2}
PRECHARGE: Spec = {
    "resistance_ohm": 50, "power_w": 200, "pulse_j": 100, "wait_s": 2, "max_v": 150, "mass_kg": 0.1,
}  # fmt: skip
BATTERY_CABLE: Spec = {"circuit": "battery", "area_mm2": 50, "insulation_c": 150, "max_v": 600, "ampacity_a": 250}
PHASE_CABLE: Spec = {"circuit": "phase", "area_mm2": 35, "insulation_c": 150, "max_v": 600, "ampacity_a": 200}
CHARGE_CABLE: Spec = {"circuit": "charge", "area_mm2": 6, "insulation_c": 90, "max_v": 600, "ampacity_a": 40}
PLUG: Spec = {"circuit": "battery", "max_v": 150, "cont_a": 200, "peak_a": 350, "mass_kg": 0.3}
THROTTLE: Spec = {"signal": "hall", "low_v": 0.8, "high_v": 3.6, "has_cutoff": True, "mass_kg": 0.3}
DISPLAY: Spec = {
    "bus": "can", "bus_kbaud": 250, "supply_low_v": 9, "supply_high_v": 16, "load_w": 4, "mass_kg": 0.3,
}  # fmt: skip
SWITCHES: Spec = {"interlocks": ["kill-switch", "side-stand", "brake-cutoff"], "mass_kg": 0.3}
LAMPS: Spec = {"load_w": 70, "supply_v": 12, "mass_kg": 1.5}
TORQUE_ARMS: Spec = {
    "purpose": "axle", "families": ["plain-twin"], "frame_kinds": ["cradle"], "reversible": True, "torque_nm": 300,
    "dropout_mm": 190, "mass_kg": 1,
}  # fmt: skip
TIRE: Spec = {"marking": "130/70-17", "end": "rear", "load_kg": 272, "speed_kmh": 210, "mass_kg": 5}

# Slot on the bike -> kind, quantity, spec. The slot is the part's code and name.
SOUND: Mapping[str, tuple[str, int, Spec]] = {
    "motor": ("motor", 1, MOTOR),
    "controller": ("controller", 1, CONTROLLER),
    "cell": ("cell", 240, CELL),
    "bms": ("bms", 1, BMS),
    "charger": ("charger", 1, CHARGER),
    "dcdc": ("dcdc", 1, DCDC),
    "enclosure": ("enclosure", 1, ENCLOSURE),
    "contactor": ("contactor", 1, CONTACTOR),
    "fuse": ("fuse", 1, FUSE),
    "precharge": ("precharge", 1, PRECHARGE),
    "battery cable": ("cable", 3, BATTERY_CABLE),
    "phase cable": ("cable", 3, PHASE_CABLE),
    "charge cable": ("cable", 2, CHARGE_CABLE),
    "plug": ("connector", 1, PLUG),
    "throttle": ("throttle", 1, THROTTLE),
    "display": ("display", 1, DISPLAY),
    "switches": ("switch", 1, SWITCHES),
    "lamps": ("lamp", 1, LAMPS),
    "torque arms": ("adapter", 2, TORQUE_ARMS),
    "tire": ("tire", 1, TIRE),
}
MID_MOTOR: Spec = {
    **MOTOR, "mount": "mid", "kv_rpm_per_v": 60, "max_rpm": 6000, "torque_nm_per_a": 0.16, "peak_torque_nm": 55,
    "chain_pitch": "520", "sprocket_low": 11, "sprocket_high": 18,
}  # fmt: skip
CHAIN: Spec = {"motor_teeth": 14, "wheel_teeth": 62, "chain_pitch": "520", "efficiency": 0.96, "mass_kg": 3}
MOTOR_MOUNT: Spec = {"purpose": "motor mount", "families": ["plain-twin"], "reversible": True, "mass_kg": 4}

DONOR = Donor(
    family="plain-twin",
    label="Plain twin 400",
    year=1979,
    vin="PT400-001979",
    market="north america",
    kerb_kg=190,
    removed_kg=80,
    removed_x_m=0.74,
    wheelbase_m=1.4,
    cg_height_m=0.62,
    front_share=0.47,
    gvwr_kg=370,
    gawr_front_kg=150,
    gawr_rear_kg=230,
    cda_m2=0.55,
    crr=0.015,
    frame_kind="cradle",
    engine_kw=28,
    system_v=12,
    front_tire="100/90-18",
    rear_tire="130/70-17",
    rear_rim_inch=17,
    dropout_mm=190,
    axle_mm=12,
    brake_side="right",
    front_brake="disc",
    rear_brake="disc",
    brake_rated_kg=380,
    chain_pitch="520",
    title_seen=True,
    stolen_check_done=True,
    bays=(
        Bay(name="Engine bay", length_mm=470, width_mm=270, height_mm=350, x_m=0.62),
        Bay(name="Tank", length_mm=430, width_mm=250, height_mm=190, x_m=0.5),
    ),
)


def tax_place() -> TaxPlace:
    """6 % on every class, from one authority."""
    classes = ("parts", "fabrication_labor", "repair_labor", "freight", "fee", "vehicle")
    rates = tuple(DatedRate(tax_class=name, rate=Decimal("0.06"), begin=date(2026, 1, 1)) for name in classes)
    state = Authority(name="Plain State", level="state", rates=rates)
    return TaxPlace(code="plain", name="Plain Town", authorities=(state,))


@dataclass(frozen=True, kw_only=True)
class Bike:
    """The sound build with changes. Every method gives a new bike."""

    slots: Mapping[str, tuple[str, int, Spec]] = field(default_factory=lambda: dict(SOUND))
    lines: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    plan: PackPlan | None = PackPlan(series=20, parallel=12, link_mohm=1.0, bays=("Engine bay",))
    donor: Donor | None = DONOR
    wishes: Wishes = Wishes()
    policies: Policies = Policies()
    job: str = "conversion"
    place: TaxPlace | None = field(default_factory=tax_place)
    option: Mapping[str, Any] = field(default_factory=dict)
    overrides: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    catalogue: tuple[CatalogueItem, ...] = ()
    country: CountrySheet | None = None
    note: str = ""
    promise: Promise | None = Promise(place=1, finish_from=date(2026, 5, 4), finish_to=date(2026, 6, 1))

    def with_(self, slot: str, **spec: object) -> Bike:
        """The part in a slot with some of its spec changed; None makes a field not known."""
        kind, quantity, old = self.slots[slot]
        return replace(self, slots={**self.slots, slot: (kind, quantity, {**old, **spec})})

    def plus(self, slot: str, kind: str, quantity: int = 1, **spec: object) -> Bike:
        """One more part."""
        return replace(self, slots={**self.slots, slot: (kind, quantity, spec)})

    def without(self, *slots: str) -> Bike:
        """The bike without these parts."""
        return replace(self, slots={name: part for name, part in self.slots.items() if name not in slots})

    def line(self, slot: str, **attributes: Any) -> Bike:
        """The quote line of a slot changed: quantity, conductors, priced_on ..."""
        return replace(self, lines={**self.lines, slot: {**self.lines.get(slot, {}), **attributes}})

    def packed(self, series: int = 20, parallel: int = 12) -> Bike:
        """Another count of cells, with the quantity to match."""
        plan = replace(self.plan or PackPlan(series=1, parallel=1), series=series, parallel=parallel)
        return replace(self, plan=plan).line("cell", quantity=Decimal(series * parallel))

    def given(self, **donor: object) -> Bike:
        """The donor changed."""
        return replace(self, donor=replace(self.donor or DONOR, **donor))  # type: ignore[arg-type]

    def wishing(self, **wishes: object) -> Bike:
        """With wishes."""
        return replace(self, wishes=replace(self.wishes, **wishes))  # type: ignore[arg-type]

    def registered(self, **sheet: object) -> Bike:
        """To be registered where these limits hold, on a sheet of a month ago."""
        empty = CountrySheet(code="plain", name="Plainland", as_of=date(2026, 2, 1))
        return replace(self, country=replace(self.country or empty, **sheet))  # type: ignore[arg-type]

    def under(self, **policies: object) -> Bike:
        """Under other shop settings."""
        return replace(self, policies=replace(self.policies, **policies))  # type: ignore[arg-type]

    def saying(self, subject: str, **figures: object) -> Bike:
        """With figures of pack, ride, wiring, weight, charge or price set by hand."""
        return replace(self, overrides={**self.overrides, subject: {**self.overrides.get(subject, {}), **figures}})

    def mid(self) -> Bike:
        """The same build with a mid motor, chain and mount."""
        bike = self.without("motor", "torque arms").plus("motor", "motor", **MID_MOTOR)
        return bike.plus("chain", "final_drive", **CHAIN).plus("mount", "adapter", **MOTOR_MOUNT)

    def request(self) -> QuoteRequest:
        """The bike as a quote request."""
        option = Option(key="A", label="A", parts=self._parts(), pack=self.plan)
        return QuoteRequest(
            day=DAY,
            now=datetime(2026, 3, 2, 14, tzinfo=UTC),
            currency="USD",
            options=(replace(option, **self.option),),
            shop=ShopState(zone="America/New_York"),
            donor=self.donor,
            wishes=self.wishes,
            tax_place=self.place,
            policies=self.policies,
            job=self.job,
            units="metric",
            catalogue=self.catalogue,
            country=self.country,
            note=self.note,
        )

    def _parts(self) -> tuple[PartLine, ...]:
        lines = []
        for slot, (kind, quantity, spec) in self.slots.items():
            line = PartLine(
                code=slot,
                kind=kind,
                name=slot,
                quantity=Decimal(quantity),
                unit_price=Decimal("100.00") if kind != "cell" else Decimal("6.00"),
                unit_cost=Decimal("60.00") if kind != "cell" else Decimal("4.00"),
                priced_on=DAY,
                spec={name: value for name, value in spec.items() if value is not None},
            )
            lines.append(replace(line, **self.lines.get(slot, {})))
        return tuple(lines)

    def facts(self) -> Facts:
        """Everything the rules read, worked out by the engine and then overridden."""
        request = self.request()
        option = request.options[0]
        setup = setup_of(request, option)
        pack = self._told("pack", pack_figures(setup))
        weight = self._told("weight", weight_figures(setup, pack))
        ride = self._told("ride", ride_figures(setup, pack, weight))
        return Facts(
            setup=setup,
            pack=pack,
            weight=weight,
            ride=ride,
            wiring=self._told("wiring", wiring_figures(setup, pack, ride)),
            charge=self._told("charge", charge_figures(setup, pack)),
            price=self._told("price", price_sheet(request, option)),
            promise=self.promise,
            day=DAY,
            currency="USD",
            tax_place=self.place,
        )

    def _told(self, subject: str, figures: Any) -> Any:
        return replace(figures, **self.overrides[subject]) if subject in self.overrides else figures

    def findings(self) -> tuple[Finding, ...]:
        """What the rules find."""
        return check(self.facts())

    def said(self, rule: str) -> tuple[Finding, ...]:
        """What one rule found."""
        return tuple(finding for finding in self.findings() if finding.rule == rule)

    def levels(self, rule: str) -> tuple[str, ...]:
        """The levels of what one rule found; empty when it is silent."""
        return tuple(finding.level for finding in self.said(rule))

    def lacking(self, rule: str) -> tuple[str, ...]:
        """The fields missing in the findings that say this rule could not be checked."""
        return tuple(
            name
            for finding in self.findings()
            if finding.rule == NOT_CHECKED and f" {rule}" in finding.explanation
            for name in finding.missing
        )
