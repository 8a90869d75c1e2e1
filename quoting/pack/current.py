"""A pack as a voltage behind a resistance: current for a power, power for a current, the most it can give."""

from __future__ import annotations

import math

import numpy as np

from quoting.pack.curves import FloatArray


def current_at_power(open_v: float, resistance_ohm: float, power_w: float) -> float | None:
    """Current that gives a power at the terminals.

    I = (U − √(U² − 4·R·W)) / (2·R), written as 2·W / (U + √(U² − 4·R·W)) so that a small R costs no digits.
    Parameters: `open_v` rested voltage [V]; `resistance_ohm` [ohm], 0 allowed; `power_w` at the terminals [W],
    negative when the pack is charged. Returns: current [A], negative when charged; None when the pack cannot give it.
    Source: Ohm's law, W = (U − I·R)·I solved for the smaller root.
    """
    inside = open_v * open_v - 4.0 * resistance_ohm * power_w
    if inside < 0.0 or open_v <= 0.0:
        return None
    return 2.0 * power_w / (open_v + math.sqrt(inside))


def currents_at_powers(open_v: float | FloatArray, resistance_ohm: float, powers_w: FloatArray) -> FloatArray:
    """current_at_power over an array of powers [W]: array of currents [A]; NaN where the pack cannot give it."""
    inside = np.square(open_v) - 4.0 * resistance_ohm * powers_w
    root = np.sqrt(np.where(inside < 0.0, np.nan, inside))
    return 2.0 * powers_w / (open_v + root)


def ceiling_power_w(open_v: float, resistance_ohm: float) -> float:
    """Most power [W] a pack can give at its terminals: U²/(4·R), at half its rested voltage. Infinite for 0 ohm."""
    return open_v * open_v / (4.0 * resistance_ohm) if resistance_ohm > 0.0 else math.inf


def power_at_current(open_v: float, resistance_ohm: float, current_a: float) -> float:
    """Power at the terminals [W] at a current [A]: (U − I·R)·I."""
    return (open_v - current_a * resistance_ohm) * current_a
