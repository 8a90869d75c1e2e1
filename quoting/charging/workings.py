"""How a charging time came about, as the shop reads it."""

from __future__ import annotations

from quoting.charging.limits import ChargerFigures, Limit
from quoting.result import ChargeCase, Working
from quoting.show import show_amps, show_hours, show_percent, show_watts


def case_working(case: ChargeCase, figures: ChargerFigures, walls: tuple[Limit, ...]) -> Working:
    """One outlet: every limit, and the two times."""
    efficiency = show_percent(figures.efficiency) + ("" if figures.efficiency_known else " (assumed)")
    walls_text = tuple((f"{limit.name}, from the wall", show_watts(limit.value)) for limit in walls)
    return Working(
        figure=f"cases.{case.circuit}",
        label=f"Charging from {case.label}",
        formula=(
            "current = least of current limits, power ÷ voltage, and (end voltage − rested voltage)/(2·R); "
            "time = Σ capacity slice ÷ current, ending at 5 % of capacity"
        ),
        inputs=(
            *walls_text,
            ("charger efficiency", efficiency),
            *((limit.name, show_amps(limit.value)) for limit in figures.current_limits),
            ("current at half charge", f"{show_amps(case.dc_a)}, limited by {case.limited_by}"),
        ),
        result=f"empty to full {show_hours(case.full_h)}, 20 to 80 % {show_hours(case.most_h)}",
        source="NEC 210.20(A), 625.41: 80 % of the breaker; taper with twice the pack's resistance, common practice",
    )
