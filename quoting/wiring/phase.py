"""The phase cables, from controller to motor: what three conductors lose of the voltage and of the power."""

from __future__ import annotations

import math

# IEC 60364-5-52 annex G for three phases, resistive part, as reproduced on public pages: √3·I·R between two phases.
PHASES = 3
BETWEEN_PHASES = math.sqrt(PHASES)


def phase_run_ohm(summed_ohm: float, motors: float = 1.0) -> float:
    """Resistance of one phase of one motor [ohm].

    Parameters: `summed_ohm` of all cable of the circuit, conductors side by side joined, one length after the other
    [ohm]; `motors` that share it [-]. A quote counts the meters of all three phases, so that a third is one phase.
    """
    return summed_ohm / (PHASES * motors)


def phase_drop_v(current_a: float, run_ohm: float) -> float:
    """Voltage lost between two phases [V, rms]: √3·I·R, by the current [A, rms] and resistance [ohm] of one phase.

    Resistance alone: what a meter of cable adds in inductance does not change the power.
    Source: IEC 60364-5-52 annex G.
    """
    return BETWEEN_PHASES * current_a * run_ohm


def phase_loss_w(current_a: float, run_ohm: float) -> float:
    """Heat in the three phases together [W]: 3·I²·R. Source: Ohm's law."""
    return PHASES * current_a**2 * run_ohm


def phase_voltage_v(pack_v: float, modulation: float) -> float:
    """Voltage between two phases at full voltage use [V, rms].

    The wave between two phases peaks at the share `modulation` [-] of the pack's voltage [V]; a sine's rms is its peak
    over √2. Source: textbook, three-phase inverter.
    """
    return modulation * pack_v / math.sqrt(2.0)
