"""Reading finished pack figures: rested voltage and current of the whole pack at a state of charge."""

from __future__ import annotations

from quoting.pack.current import current_at_power
from quoting.pack.curves import open_v
from quoting.result import PackFigures


def pack_open_v(figures: PackFigures, soc: float) -> float | None:
    """Rested voltage of the pack [V] at `soc` [0..1]; None when chemistry, full or empty voltage is not known."""
    if figures.chemistry is None or figures.full_v is None or figures.empty_v is None:
        return None
    if figures.full_v <= figures.empty_v:
        return None
    groups = figures.series_cells
    if not groups:  # cells inside a module not known: the curve works it out of the full voltage
        return open_v(figures.chemistry, figures.full_v, figures.empty_v, soc)
    return groups * open_v(figures.chemistry, figures.full_v / groups, figures.empty_v / groups, soc)


def pack_current_a(figures: PackFigures, soc: float, power_w: float) -> float | None:
    """Current of the pack [A] for `power_w` at its terminals [W] at `soc` [0..1].

    None when it cannot give the power, or when its voltage or resistance is not known: `figures.missing` tells which.
    """
    volts = pack_open_v(figures, soc)
    if volts is None or figures.resistance_ohm is None:
        return None
    return current_at_power(volts, figures.resistance_ohm, power_w)
