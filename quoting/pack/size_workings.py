"""The smallest and the largest pack, as the shop reads it."""

from __future__ import annotations

from quoting.pack.build import Built
from quoting.pack.demand import Demand
from quoting.pack.sizing import LOW_SOC
from quoting.result import PackFigures, Working
from quoting.setup import Setup
from quoting.show import NOT_KNOWN, show_amps, show_energy, show_percent, show_volts, show_watts


def size_words(figures: PackFigures, parallel: int | None) -> str:
    """A pack of so many side by side: count and energy, "20 × 8, 2.59 kWh"."""
    if parallel is None:
        return NOT_KNOWN
    if not parallel:
        return "none"
    energy_wh = None if figures.energy_wh is None else figures.energy_wh / figures.parallel * parallel
    return f"{figures.series} × {parallel}, {show_energy(energy_wh)}"


def size_workings(setup: Setup, built: Built, figures: PackFigures, demand: Demand) -> list[Working]:
    """Those that are known."""
    unit, found = built.unit, []
    if figures.least_parallel is not None:
        found.append(
            Working(
                figure="least_parallel",
                label="Smallest pack for this drive",
                formula="fewest side by side whose currents and loaded voltage U − I·R hold at that charge",
                inputs=(
                    ("charge", show_percent(LOW_SOC)),
                    ("in series", f"{figures.series}"),
                    ("power for good and at peak", f"{show_watts(demand.cont_w)} and {show_watts(demand.peak_w)}"),
                    (
                        "controller draws at most",
                        f"{show_amps(demand.cont_cap_a)} and {show_amps(demand.peak_cap_a)}",
                    ),
                    (
                        f"one {unit.word}, for good and at peak",
                        f"{show_amps(unit.cont_a)} and {show_amps(unit.peak_a)}",
                    ),
                    ("cut-off", f"{show_volts(figures.cut_v)} ({figures.cut_by or NOT_KNOWN})"),
                ),
                result=size_words(figures, figures.least_parallel),
                source="Ohm's law and the cell maker's data sheet; 20 % charge is our own rule",
            )
        )
    if figures.most_parallel is not None:
        holds = ", ".join(f"{bay.bay} {bay.capacity}" for bay in figures.fit)
        found.append(
            Working(
                figure="most_parallel",
                label="Largest pack the bays hold",
                formula=f"{unit.word}s that go in ÷ count in series, rounded down; boxed parts then go elsewhere",
                inputs=((f"{unit.word}s that go in", holds), ("in series", f"{figures.series}")),
                result=size_words(figures, figures.most_parallel),
                source="whole layers, square or hexagonal, as for the fit in the bays",
            )
        )
    return found
