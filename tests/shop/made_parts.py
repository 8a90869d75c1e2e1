"""An invented donor family and the components of a sound build on it. Every figure is made up, none is a product's.

72 V nominal: 20 groups in series of cells that are full at 4.2 V make 84 V.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any

from quoting.vin import check_digit
from shop.models import Bay, Component, Donor, DonorFamily, Offer, StockMove, Supplier

SERIES, PARALLEL = 20, 24
# code: (kind, name, list price, quantity on the build, place behind the front axle [m], spec)
SOUND: dict[str, tuple[str, str, str | None, str, float | None, dict[str, Any]]] = {}


def sound(
    kind: str, code: str, name: str, price: str | None, quantity: str = "1", x_m: float | None = 0.2, **spec: Any
) -> None:
    SOUND[code] = (kind, name, price, quantity, x_m, spec)


BOX: dict[str, Any] = {"length_mm": 100, "width_mm": 80, "height_mm": 50}
sound(
    "motor", "MOT-1", "hub motor 10 kW 72 V", "1450", x_m=1.40, mass_kg=24, mount="hub", nominal_v=72, max_v=100,
    cont_kw=10, peak_kw=18, peak_s=120, kv_rpm_per_v=14, torque_nm_per_a=0.65, peak_torque_nm=220, max_rpm=1500,
    phase_cont_a=220, phase_peak_a=400, demag_phase_a=700, peak_efficiency=0.91, copper_loss_w=900, no_load_loss_w=200,
    rotor_sensor="hall", cooling="air", gear_ratio=1, phase_lead_mm2=25, dropout_mm=150, axle_mm=20, axle_flats_mm=14,
    brake_side="left", wheel_inch=17,
)  # fmt: skip
sound(
    "controller", "CON-1", "controller 72 V 200 A", "780", mass_kg=4, min_v=50, max_v=108, low_cut_v=60,
    battery_cont_a=170, battery_peak_a=250, phase_cont_a=220, phase_peak_a=400, regen_a=0, efficiency=0.96,
    modulation=0.95, capacitance_uf=4000, throttles=["hall"], rotor_sensors=["hall"], bus="can", bus_kbaud=500,
    interlocks=["side-stand", "brake-cutoff", "kill-switch", "charge-inhibit"], tested_motors=["MOT-1"],
    throttle_isolated=True, **BOX,
)  # fmt: skip
sound(
    "cell", "CEL-1", "round cell 5 Ah", None, str(SERIES * PARALLEL), mass_kg=0.07, chemistry="nmc", nominal_v=3.6,
    full_v=4.2, empty_v=2.8, capacity_ah=5, cont_a=10, peak_a=15, charge_a=2.5, resistance_mohm=15, diameter_mm=21.2,
    length_mm=70, charge_low_c=0, charge_high_c=45, health_percent=100, transport_tested=True,
)  # fmt: skip
sound(
    "bms", "BMS-1", "battery management 16 to 24 groups", "320", mass_kg=1.5, series_low=16, series_high=24,
    chemistries=["nmc"], max_v=105, cont_a=220, peak_a=300, charge_a=80, low_cell_v=2.9, high_cell_v=4.22,
    charge_low_c=2, charge_high_c=45, senses_each_group=True, has_precharge=False, bus="can", bus_kbaud=500,
    interlocks=["charge-inhibit"], **BOX,
)  # fmt: skip
sound(
    "charger", "CHG-1", "charger 84 V 1.5 kW", "410", mass_kg=4, end_v=84, end_low_v=60, end_high_v=88, start_v=48,
    power_w=1400, output_a=18, input_low_v=90, input_high_v=264, input_a=14, efficiency=0.92, bus="can",
    bus_kbaud=500, **BOX,
)  # fmt: skip
sound(
    "dcdc", "DCD-1", "converter 72 V to 12 V", "95", mass_kg=1, input_low_v=40, input_high_v=110, output_v=12,
    output_a=25, isolated=True, **BOX,
)  # fmt: skip
sound(
    "enclosure", "ENC-1", "pack box", "540", mass_kg=9, inner_length_mm=600, inner_width_mm=260, inner_height_mm=330,
    length_mm=610, width_mm=270, height_mm=340, sealed=True, families=["anvil"],
)  # fmt: skip
sound(
    "contactor", "CTR-1", "main contactor 200 A", "85", mass_kg=0.6, max_v=150, cont_a=250, make_a=600, break_a=2500,
    coil_v=12, coil_w=6, **BOX,
)  # fmt: skip
sound(
    "fuse", "FUS-1", "main fuse 225 A", "28", mass_kg=0.1, rating_a=225, dc_v=125, breaking_a=20000, clearing_a2s=60000
)
sound(
    "precharge", "PRE-1", "pre-charge 100 ohm", "18", mass_kg=0.1, resistance_ohm=100, power_w=100, pulse_j=200,
    wait_s=2.5, max_v=150,
)  # fmt: skip
sound(
    "cable", "CAB-B", "battery cable 50 mm2", "14", "3", mass_kg=0.5, circuit="battery", area_mm2=50, insulation_c=105,
    max_v=600, ampacity_a=250,
)  # fmt: skip
sound(
    "cable", "CAB-P", "phase cable 50 mm2", "14", "3", mass_kg=0.5, circuit="phase", area_mm2=50, insulation_c=105,
    max_v=600, ampacity_a=250,
)  # fmt: skip
sound(
    "connector", "CNN-1", "battery plug pair", "45", mass_kg=0.3, circuit="battery", max_v=150, cont_a=250, peak_a=400
)
sound(
    "throttle", "THR-1", "twist throttle", "35", mass_kg=0.3, signal="hall", low_v=0.8, high_v=3.9,
    resistance_kohm=5, has_cutoff=True,
)  # fmt: skip
sound(
    "display", "DSP-1", "display", "120", mass_kg=0.4, bus="can", bus_kbaud=500, supply_low_v=9, supply_high_v=16,
    load_w=3,
)  # fmt: skip
sound("switch", "SWI-1", "switch set", "60", mass_kg=0.3, interlocks=["side-stand", "brake-cutoff", "kill-switch"])
sound(
    "adapter", "ADA-1", "rear axle adapter", "210", x_m=1.40, mass_kg=2, purpose="axle", families=["anvil"],
    frame_kinds=["cradle"], reversible=True, torque_nm=400, dropout_mm=150,
)  # fmt: skip
sound("tire", "TIR-1", "rear tire 130/70-17", "110", x_m=1.40, mass_kg=5, marking="130/70-17", end="rear", load_kg=265,
      speed_kmh=210)  # fmt: skip
sound("lamp", "LMP-1", "lamp set", "75", mass_kg=2, load_w=60, supply_v=12)


def make_supplier(code: str = "north-yard", **values: Any) -> Supplier:
    made = {"name": code.replace("-", " ").title(), "ships_dangerous": True, **values}
    return Supplier.objects.get_or_create(code=code, defaults=made)[0]


def make_component(sound_code: str, /, **changed: Any) -> Component:
    """A component of the sound build, checked as the admin would check it; `code` makes another one like it."""
    kind, name, price, _, x_m, spec = SOUND[sound_code]
    values = {"kind": kind, "name": name, "list_price": None if price is None else Decimal(price), "x_m": x_m}
    component = Component(**{"code": sound_code, **values, "spec": spec, **changed})
    component.full_clean()
    component.save()
    return component


def make_offer(component: Component, *, priced_on: date, **changed: Any) -> Offer:
    """An offer at half the list price, or 3.40 without one; two weeks of lead time."""
    values: dict[str, Any] = {
        "supplier": changed.pop("supplier", None) or make_supplier(),
        "unit_cost": Decimal("3.40") if component.list_price is None else component.list_price / 2,
        "lead_low_days": 10,
        "lead_days": 14,
        "lead_high_days": 28,
        **changed,
    }
    return Offer.objects.create(component=component, priced_on=priced_on, **values)


def make_sound_components(priced_on: date, only: Iterable[str] = ()) -> dict[str, Component]:
    """Every component of the sound build with its preferred offer, by code."""
    made = {code: make_component(code) for code in (only or SOUND)}
    for component in made.values():
        make_offer(component, priced_on=priced_on)
    return made


def receive(component: Component, quantity: Decimal | int | str) -> StockMove:
    """Units put on the shelf."""
    return StockMove.objects.create(component=component, kind="received", on_hand=Decimal(quantity))


def make_family(**changed: Any) -> DonorFamily:
    """A cradle frame with one bay the pack box fits."""
    values: dict[str, Any] = {
        "code": "anvil", "name": "Anvil 500", "first_year": 1995, "last_year": 2004, "frame_kind": "cradle",
        "kerb_kg": 205.0, "removed_kg": 92.0, "removed_x_m": 0.66, "wheelbase_m": 1.43, "cg_height_m": 0.58,
        "front_share": 0.49, "gvwr_kg": 400.0, "gawr_front_kg": 165.0, "gawr_rear_kg": 265.0, "cda_m2": 0.60,
        "crr": 0.014, "engine_kw": 37.0, "system_v": 12.0, "front_tire": "110/70-17", "rear_tire": "130/70-17",
        "rear_rim_inch": 17.0, "dropout_mm": 150.0, "axle_mm": 20.0, "brake_side": "left", "front_brake": "disc",
        "rear_brake": "disc", "brake_rated_kg": 400.0, "chain_pitch": "520", **changed,
    }  # fmt: skip
    family = DonorFamily.objects.create(**values)
    Bay.objects.create(family=family, name="main", length_mm=640, width_mm=300, height_mm=360, x_m=0.72)
    return family


def invented_vin(number: int) -> str:
    """A VIN nobody has, with a right check digit and the code of model year 1999."""
    blank = f"1ZZAB1C2{{}}XD{number:06d}"
    return blank.format(check_digit(blank.format("0")))


def make_donor(family: DonorFamily | None = None, **changed: Any) -> Donor:
    vin = invented_vin(Donor.objects.count() + 1)
    values: dict[str, Any] = {"year": 1999, "vin": vin, "title_seen": True, "stolen_check_done": True, **changed}
    return Donor.objects.create(family=family or make_family(), **values)
