"""What protects the wiring: fuse size, cable under a short circuit, pre-charge, insulation."""

from __future__ import annotations

import math
from dataclasses import dataclass

# A fuse carries its continuous current at no more than 1/1.25 of its rating: fuse makers' application notes.
FUSE_FACTOR = 1.25
# What a fuse carries for 10 s over its rating: common practice, no source; the maker's time-current curve governs.
FUSE_TEN_SECOND_FACTOR = 2.0
# NEC 240.6(A) standard ampere ratings, from memory.
STANDARD_FUSES_A = (
    *(10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400),
    *(450, 500, 600, 700, 800, 1000, 1200, 1600, 2000),
)
# IEC 60364-5-54: k = 226·√(ln((234.5 + end)/(234.5 + start))) for copper [A·√s/mm2].
ADIABATIC_COPPER = 226.0
COPPER_ZERO_C = 234.5
# Conductor temperatures at full load and after the fault [degC], IEC 60364-4-43: cross-linked and PVC insulation.
CROSS_LINKED_C = (90.0, 250.0)
PVC_C = (70.0, 160.0)
# UN Regulation No. 100 5.1.3: 100 ohm per volt for a DC circuit, 500 where DC and AC are joined (a motor drive).
DC_OHM_PER_V = 100.0
JOINED_OHM_PER_V = 500.0
# ISO 6469-3, UN R100: above 60 V DC a circuit is voltage class B ("high voltage").
CLASS_B_ABOVE_V = 60.0


def fuse_least_a(steady_a: float) -> float:
    """Smallest fuse [A] for a steady current [A]: 1.25 times. Source: fuse makers' application notes."""
    return FUSE_FACTOR * steady_a


def standard_fuse_a(least_a: float) -> float | None:
    """The next standard rating [A] at or above `least_a` [A]; None above 2000 A. Source: NEC 240.6(A), from memory."""
    return next((float(rating) for rating in STANDARD_FUSES_A if rating >= least_a - 1e-9), None)


def adiabatic_k(start_c: float, end_c: float) -> float:
    """Adiabatic factor k of copper [A·√s/mm2] between two temperatures [degC]. Source: IEC 60364-5-54."""
    return ADIABATIC_COPPER * math.sqrt(math.log((COPPER_ZERO_C + end_c) / (COPPER_ZERO_C + start_c)))


def cable_withstand_a2s(area_mm2: float, insulation_c: float) -> float:
    """Energy a cable bears before its insulation is harmed: k²·S².

    Parameters: `area_mm2` [mm2]; `insulation_c` [degC], 90 and above counts as cross-linked, else as PVC.
    Returns: [A2s]. The fuse's clearing energy must not be above it. Source: IEC 60364-4-43 434.5.2.
    """
    k = adiabatic_k(*(CROSS_LINKED_C if insulation_c >= CROSS_LINKED_C[0] else PVC_C))
    return (k * area_mm2) ** 2


def short_circuit_a(full_v: float, pack_ohm: float, cable_ohm: float = 0.0) -> float:
    """Current [A] into a dead short at full voltage [V] through pack and cable [ohm]. Source: Ohm's law."""
    return full_v / (pack_ohm + cable_ohm)


@dataclass(frozen=True)
class PrechargeTimes:
    """Filling a capacitor through a resistor: time constant and times to 95 and 99 % [s], energy [J], peak [W], [A]."""

    tau_s: float
    to_95_s: float
    to_99_s: float
    energy_j: float
    peak_w: float
    peak_a: float


def precharge_times(pack_v: float, resistance_ohm: float, capacitance_f: float) -> PrechargeTimes:
    """Times and loads of a pre-charge.

    Parameters: `pack_v` [V], `resistance_ohm` [ohm], `capacitance_f` [F]. The resistor takes ½·C·U² whatever its
    value. Source: first-order RC circuit, u = U·(1 − e^(−t/RC)).
    """
    tau_s = resistance_ohm * capacitance_f
    return PrechargeTimes(
        tau_s=tau_s,
        to_95_s=-math.log(0.05) * tau_s,
        to_99_s=-math.log(0.01) * tau_s,
        energy_j=0.5 * capacitance_f * pack_v**2,
        peak_w=pack_v**2 / resistance_ohm,
        peak_a=pack_v / resistance_ohm,
    )


def precharged_share(wait_s: float, resistance_ohm: float, capacitance_f: float) -> float:
    """Share of pack voltage [0..1] reached after `wait_s` [s]."""
    return 1.0 - math.exp(-wait_s / (resistance_ohm * capacitance_f))


def least_insulation_ohm(full_v: float, ohm_per_v: float = JOINED_OHM_PER_V) -> float:
    """Least insulation resistance [ohm] between pack and frame at the highest working voltage [V]. Source: UN R100."""
    return full_v * ohm_per_v


def is_class_b(full_v: float) -> bool:
    """True when the highest working voltage [V] makes the circuit voltage class B. Source: ISO 6469-3, UN R100."""
    return full_v > CLASS_B_ABOVE_V
