"""What practitioners reported of their builds: range, speed, charge time, as numbers.

Source: public practitioner reports, group A, by case number. What a report does not say is assumed and said so beside
it; a mass is with rider. Reports without an energy, a power or a speed cannot be worked out and are not here (A3 to A5,
A7, A21, A26, A37, A40); A2's three ranges name no capacity; A23 is a pack and is tested in
tests/quoting/test_engineering_reports.py; A24's range is a reader's sum without the pack's own loss, in test_claims.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class RangeReport:
    """Nominal energy [Wh], mass with rider [kg], drag area [m2], how it was ridden, and the range reported [km].

    `ridden` a profile's code or a steady speed [km/h]. `agrees` False: a claim beyond the better end of our band, which
    a quote must not repeat.
    """

    case: str
    energy_wh: float
    mass_kg: float
    cda_m2: float
    ridden: str | float
    reported_km: tuple[float, float]
    agrees: bool = True


@dataclass(frozen=True, kw_only=True)
class SpeedReport:
    """Power at the shaft [W], what the chain leaves of it, and the speed reported [km/h]. `what` it was called."""

    case: str
    what: str
    shaft_w: float
    mass_kg: float
    cda_m2: float
    reported_kmh: tuple[float, float]
    final_share: float = 0.96


@dataclass(frozen=True, kw_only=True)
class GearReport:
    """Motor speed [rpm], ratio [-] and circumference [m] against a speed [km/h] the report gives."""

    case: str
    what: str
    rpm: float
    ratio: float
    circumference_m: float
    reported_kmh: float
    within: float


@dataclass(frozen=True, kw_only=True)
class ChargeReport:
    """Energy [Wh], charger [W] (None: not said) and the time reported [h]."""

    case: str
    energy_wh: float
    hours: float
    charger_w: float | None = None
    agrees: bool = True


RANGES = (
    # 28 × 3.2 V × 90 Ah; 181 kg dry, rider 80 and luggage 10; tucked. "Est. 80 miles at 65 mph".
    RangeReport(
        case="A1", energy_wh=8064, mass_kg=271, cda_m2=0.40, ridden=105.0, reported_km=(129, 129), agrees=False
    ),
    # 77 to 95 km is what readers of the report expect.
    RangeReport(case="A1", energy_wh=8064, mass_kg=271, cda_m2=0.40, ridden=105.0, reported_km=(77, 95)),
    # Boxer twin, mass assumed 280. "~80 km urban"; 47 to 55 km at 80 km/h is the readers' own estimate.
    RangeReport(case="A10", energy_wh=4300, mass_kg=280, cda_m2=0.60, ridden="town", reported_km=(80, 80)),
    RangeReport(case="A10", energy_wh=4300, mass_kg=280, cda_m2=0.60, ridden=80.0, reported_km=(47, 55)),
    # 10 kWh, 100 km; mass assumed 290; 97 km/h is what its 10 kW hold.
    RangeReport(case="A12", energy_wh=10000, mass_kg=290, cda_m2=0.60, ridden=97.0, reported_km=(100, 100)),
    # About 9 kWh (assumed), charges every 80 to 121 km, cruises at up to 97 km/h; mass assumed 300.
    RangeReport(case="A13", energy_wh=9000, mass_kg=300, cda_m2=0.60, ridden=97.0, reported_km=(80, 121)),
    RangeReport(case="A13", energy_wh=9000, mass_kg=300, cda_m2=0.60, ridden=80.0, reported_km=(80, 121)),
    # 10 kWh prototype; 128 km in the press, 161 km the builder's aim; mass assumed 290.
    RangeReport(case="A14", energy_wh=10000, mass_kg=290, cda_m2=0.60, ridden="back_road", reported_km=(128, 128)),
    RangeReport(
        case="A14", energy_wh=10000, mass_kg=290, cda_m2=0.60, ridden="back_road", reported_km=(161, 161), agrees=False
    ),
    # 28 × 30 Ah, 3.1 kWh, "160 km max": beyond reach even in town; mass assumed 280.
    RangeReport(
        case="A16", energy_wh=3100, mass_kg=280, cda_m2=0.60, ridden="town", reported_km=(160, 160), agrees=False
    ),
    # Scooter, 64 V 28 Ah, "80 km/h; 55 km"; mass assumed 190. Right for 50 km/h, not for 70.
    RangeReport(case="A17", energy_wh=1792, mass_kg=190, cda_m2=0.55, ridden=50.0, reported_km=(55, 55)),
    RangeReport(case="A17", energy_wh=1792, mass_kg=190, cda_m2=0.55, ridden=70.0, reported_km=(55, 55), agrees=False),
    # The same with one battery, 64 km at a city's speed, and with two, "129 km" beside "88 km/h".
    RangeReport(case="A18", energy_wh=1792, mass_kg=190, cda_m2=0.55, ridden=45.0, reported_km=(64, 64)),
    RangeReport(
        case="A18", energy_wh=3584, mass_kg=200, cda_m2=0.55, ridden="town", reported_km=(129, 129), agrees=False
    ),
    # 1.4 kWh by its builder, 32 to 40 km; 160 cc twin, mass assumed 210.
    RangeReport(case="A20", energy_wh=1400, mass_kg=210, cda_m2=0.55, ridden=60.0, reported_km=(32, 40)),
    # Design stage, 5.3 kWh: "more than 80 km city, less than 64 km highway"; sport fairing; mass assumed 270.
    RangeReport(case="A22", energy_wh=5300, mass_kg=270, cda_m2=0.45, ridden="town", reported_km=(80, 130)),
    RangeReport(case="A22", energy_wh=5300, mass_kg=270, cda_m2=0.45, ridden="highway", reported_km=(0, 64)),
    RangeReport(case="A22", energy_wh=5300, mass_kg=270, cda_m2=0.45, ridden=97.0, reported_km=(57, 68)),
    # 33 km a day put 30 Ah back at 80 V: 2.4 kWh ridden on, 2.6 nominal; commuter, 75 km/h and 270 kg assumed.
    RangeReport(case="A29", energy_wh=2609, mass_kg=270, cda_m2=0.60, ridden=75.0, reported_km=(33, 33)),
    # Vintage race frame, 24 × 100 Ah: "100 miles normal"; 190 kg + 80.
    RangeReport(case="A33", energy_wh=7680, mass_kg=270, cda_m2=0.50, ridden="town", reported_km=(161, 161)),
    RangeReport(
        case="A33", energy_wh=7680, mass_kg=270, cda_m2=0.50, ridden="highway", reported_km=(161, 161), agrees=False
    ),
    # Sidecar outfit, 19.5 kWh, 165 km; 373 kg + 87, drag area assumed 1.0. Right for 80 km/h, not for its cruise.
    RangeReport(case="A35", energy_wh=19500, mass_kg=460, cda_m2=1.00, ridden=80.0, reported_km=(165, 165)),
    RangeReport(
        case="A35", energy_wh=19500, mass_kg=460, cda_m2=1.00, ridden=105.0, reported_km=(165, 165), agrees=False
    ),
    # Moped programme, 60 V 25 Ah: 60 km; small rider and moped assumed 170. Right at 38 km/h only.
    RangeReport(case="A39", energy_wh=1500, mass_kg=170, cda_m2=0.50, ridden=38.0, reported_km=(60, 60)),
    RangeReport(case="A39", energy_wh=1500, mass_kg=170, cda_m2=0.50, ridden=60.0, reported_km=(60, 60), agrees=False),
)

SPEEDS = (
    # "12 kW" water-cooled hub motor, 112 km/h; mass assumed 290.
    SpeedReport(
        case="A14", what="top", shaft_w=12_000, mass_kg=290, cda_m2=0.60, reported_kmh=(112, 112), final_share=1.0
    ),
    # Hub, 6 kW peak, 88 km/h; 160 cc twin, mass assumed 210.
    SpeedReport(
        case="A20", what="top", shaft_w=6_000, mass_kg=210, cda_m2=0.55, reported_kmh=(88, 88), final_share=1.0
    ),
    # Sport bike, 8 kW for good, taken as drawn from the pack (× 0.90 × 0.96), 97 km/h sustained; mass assumed 270.
    SpeedReport(case="A22", what="held", shaft_w=6_912, mass_kg=270, cda_m2=0.45, reported_kmh=(97, 97)),
    # Upright dual-sport, 4 kW rated, 15 kW at most: 70 to 76 held, 114 to 125 at most, by its readers.
    SpeedReport(case="A24", what="held", shaft_w=4_000, mass_kg=250, cda_m2=0.60, reported_kmh=(70, 76)),
    SpeedReport(case="A24", what="top", shaft_w=15_000, mass_kg=250, cda_m2=0.60, reported_kmh=(114, 125)),
    # Vintage race frame, 37 kW, 175 km/h, rider down; 190 kg + 80.
    SpeedReport(case="A33", what="top", shaft_w=37_000, mass_kg=270, cda_m2=0.45, reported_kmh=(175, 175)),
    # Sidecar outfit, 45 kW, 140 km/h; gearbox and bevel drive assumed 0.92.
    SpeedReport(
        case="A35", what="top", shaft_w=45_000, mass_kg=460, cda_m2=1.00, reported_kmh=(140, 140), final_share=0.92
    ),
)

GEARS = (
    # 45/19 inside, 14 teeth, 28 to 48 at the wheel, tire 677 mm: the report's own kinematic speeds at 6,000 rpm.
    GearReport(
        case="A24", what="28 teeth", rpm=6000, ratio=45 / 19 * 28 / 14, circumference_m=2.127, reported_kmh=161.7,
        within=0.002,
    ),
    GearReport(
        case="A24", what="48 teeth", rpm=6000, ratio=45 / 19 * 48 / 14, circumference_m=2.127, reported_kmh=94.3,
        within=0.002,
    ),
    # 14/56, wheel about 1.95 m: some 1,700 rpm at 50 km/h, far under a 48 V motor's speed: not the gearing's fault.
    GearReport(case="A31", what="14/56", rpm=1700, ratio=4.0, circumference_m=1.95, reported_kmh=50, within=0.01),
    # 3,000 rpm, 13/45, 2.01 m: 105 km/h worked out, 101 ridden.
    GearReport(case="A32", what="13/45", rpm=3000, ratio=45 / 13, circumference_m=2.01, reported_kmh=101, within=0.04),
)  # fmt: skip

CHARGES = (
    ChargeReport(case="A1", energy_wh=8064, hours=7),
    ChargeReport(case="A12", energy_wh=10_000, hours=4),
    ChargeReport(case="A14", energy_wh=10_000, hours=1.5, charger_w=7000),
    ChargeReport(case="A16", energy_wh=3100, hours=3, charger_w=3000, agrees=False),
    ChargeReport(case="A18", energy_wh=1792, hours=3.5),
    ChargeReport(case="A20", energy_wh=1400, hours=2.5, charger_w=432, agrees=False),
    ChargeReport(case="A35", energy_wh=19_500, hours=13, charger_w=1300),
)
