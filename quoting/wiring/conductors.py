"""Copper conductors: resistance at a temperature, current they carry, and parallel conductors as one.

Sources: IEC 60028 (copper), IEC 60228 class 5 (flexible metric sections), NFPA 70 (National Electrical Code) 2023 table
310.16 and section 310.15(B). The code does not govern a vehicle's own wiring; its tables are a yardstick here and the
cable maker's figure goes before them.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterable

from quoting.units import awg_area_mm2

# IEC 60028: conductivity of annealed copper at 20 degC 58 MS/m, temperature coefficient of resistance 0.00393 /K.
COPPER_OHM_MM2_PER_M = 1.0 / 58.0
COPPER_PER_K = 0.00393
# Stranding makes the strands longer than the cable: NEC chapter 9 table 8, stranded over solid, 1.018 to 1.025.
STRANDING = 1.02
# IEC 60228 class 5, plain copper, highest resistance at 20 degC: section [mm2] -> [ohm/km]. The last three from memory.
FLEXIBLE_OHM_PER_KM = {
    0.5: 39.0,
    0.75: 26.0,
    1.0: 19.5,
    1.5: 13.3,
    2.5: 7.98,
    4.0: 4.95,
    6.0: 3.3,
    10.0: 1.91,
    16.0: 1.21,
    25.0: 0.78,
    35.0: 0.554,
    50.0: 0.386,
    70.0: 0.272,
    95.0: 0.206,
    120.0: 0.161,
    150.0: 0.129,
    185.0: 0.106,
    240.0: 0.0801,
}
# NEC 2023 table 310.16, copper, 30 degC ambient [A]: AWG or kcmil -> 60, 75 and 90 degC insulation. kcmil from memory.
AMPACITY_A: dict[str, tuple[float | None, float | None, float]] = {
    "18": (None, None, 14.0),
    "16": (None, None, 18.0),
    "14": (15.0, 20.0, 25.0),
    "12": (20.0, 25.0, 30.0),
    "10": (30.0, 35.0, 40.0),
    "8": (40.0, 50.0, 55.0),
    "6": (55.0, 65.0, 75.0),
    "4": (70.0, 85.0, 95.0),
    "3": (85.0, 100.0, 115.0),
    "2": (95.0, 115.0, 130.0),
    "1": (110.0, 130.0, 145.0),
    "1/0": (125.0, 150.0, 170.0),
    "2/0": (145.0, 175.0, 195.0),
    "3/0": (165.0, 200.0, 225.0),
    "4/0": (195.0, 230.0, 260.0),
    "250 kcmil": (215.0, 255.0, 290.0),
    "300 kcmil": (240.0, 285.0, 320.0),
    "350 kcmil": (260.0, 310.0, 350.0),
    "400 kcmil": (280.0, 335.0, 380.0),
    "500 kcmil": (320.0, 380.0, 430.0),
}
INSULATION_CLASSES_C = (60.0, 75.0, 90.0)
MM2_PER_KCMIL = 0.5067075  # NIST SP 811: circular mil 5.067075e-10 m2
# Under a seat or beside a pack; common practice, no source. The table itself stands for 30 degC.
AMBIENT_C = 40.0
# Conductor temperature for drop and loss: that of NEC chapter 9 table 8.
WARM_CONDUCTOR_C = 75.0
# What a cable or contactor may carry for 10 s over its continuous current: common practice, no source. 4 AWG at 1.5
# times its table current warms by less than 3 K in 10 s (I²·R·t over the heat the copper takes up).
TEN_SECOND_ALLOWANCE = 1.5


def at_temperature(resistance_20_ohm: float, temperature_c: float) -> float:
    """Copper resistance [ohm] at `temperature_c` [degC] from its value at 20 degC. Source: IEC 60028."""
    return resistance_20_ohm * (1.0 + COPPER_PER_K * (temperature_c - 20.0))


def ohm_per_m(area_mm2: float, temperature_c: float = 20.0) -> float:
    """Resistance of one meter of cable conductor.

    A metric section of IEC 60228 takes that standard's class 5 limit; any other section is stranded copper of that
    area. Parameters: `area_mm2` [mm2], `temperature_c` of the conductor [degC]. Returns: [ohm/m].
    Source: IEC 60228 table 3; IEC 60028 with the stranding factor of NEC chapter 9 table 8.
    """
    for nominal_mm2, limit in FLEXIBLE_OHM_PER_KM.items():
        if abs(area_mm2 - nominal_mm2) <= 0.005 * nominal_mm2:
            return at_temperature(limit / 1000.0, temperature_c)
    return at_temperature(COPPER_OHM_MM2_PER_M * STRANDING / area_mm2, temperature_c)


def solid_ohm_per_m(area_mm2: float, temperature_c: float = 20.0) -> float:
    """Resistance of one meter of a single round copper wire [ohm/m]. Source: IEC 60028."""
    return at_temperature(COPPER_OHM_MM2_PER_M / area_mm2, temperature_c)


def parallel_ohm(resistances_ohm: Iterable[float]) -> float:
    """Resistance [ohm] of conductors side by side: 1 / sum(1/R). Raises ValueError for none at all."""
    conductance = sum(1.0 / resistance for resistance in resistances_ohm)
    if not conductance:
        raise ValueError("no conductor to join.")
    return 1.0 / conductance


def ambient_factor(insulation_c: float, ambient_c: float) -> float:
    """Correction of an ampacity for the air around the cable.

    Parameters: `insulation_c` the insulation class [degC]; `ambient_c` [degC]. Returns: factor [-], 1 at 26 to 30 degC,
    0 where the air is as hot as the insulation may get. Source: NEC 310.15(B)(2), √((Tc − Ta)/(Tc − 30)), taken at the
    top of each 5 degC band and rounded to two digits as table 310.15(B)(1) prints it.
    """
    band_top_c = max(10.0, 5.0 * math.ceil(ambient_c / 5.0))
    if band_top_c >= insulation_c:
        return 0.0
    return round(math.sqrt((insulation_c - band_top_c) / (insulation_c - 30.0)), 2)


def _table_mm2(size: str) -> float:
    return float(size.split()[0]) * MM2_PER_KCMIL if size.endswith("kcmil") else awg_area_mm2(size)


def _column(index: int) -> tuple[tuple[float, ...], tuple[float, ...]]:
    rows = [(math.log(_table_mm2(size)), values[index]) for size, values in AMPACITY_A.items()]
    known = [(log_area, math.log(value)) for log_area, value in rows if value is not None]
    return tuple(log_area for log_area, _ in known), tuple(log_value for _, log_value in known)


_COLUMNS = tuple(_column(index) for index in range(len(INSULATION_CLASSES_C)))


def insulation_class_c(insulation_c: float) -> float | None:
    """The table's column for an insulation [degC]: 60, 75 or 90, never above it; None under 60."""
    fitting = [column for column in INSULATION_CLASSES_C if column <= insulation_c]
    return fitting[-1] if fitting else None


def ampacity_a(area_mm2: float, insulation_c: float, ambient_c: float = AMBIENT_C, conductors: int = 1) -> float | None:
    """Current a cable carries for good.

    Conductors side by side are joined to one of their summed section: two 4 AWG carry what one 1 AWG carries, which is
    less than twice one 4 AWG, because they warm each other. Sections between the table's are interpolated on
    logarithms; insulation above 90 degC counts as 90, as terminals seldom allow more; a section above 500 kcmil counts
    as that.
    Parameters: `area_mm2` of one conductor [mm2]; `insulation_c`, `ambient_c` [degC]; `conductors` side by side [-].
    Returns: [A]; None where the table has no value (thinner than 14 AWG at 60 and 75 degC, than 18 AWG at 90 degC).
    Source: NEC 2023 table 310.16 and 310.15(B); joining: common practice, no source.
    """
    insulation = insulation_class_c(insulation_c)
    if insulation is None:
        return None
    log_areas, log_amps = _COLUMNS[INSULATION_CLASSES_C.index(insulation)]
    wanted = math.log(area_mm2 * conductors)
    if wanted < log_areas[0] - 1e-3:  # a gauge typed as a rounded section, 0.82 mm2 for 18 AWG, still counts
        return None
    right = min(max(bisect_left(log_areas, wanted), 1), len(log_areas) - 1)
    left = right - 1
    share = min((wanted - log_areas[left]) / (log_areas[right] - log_areas[left]), 1.0)
    base_a = math.exp(log_amps[left] + share * (log_amps[right] - log_amps[left]))
    return base_a * ambient_factor(insulation, ambient_c)
