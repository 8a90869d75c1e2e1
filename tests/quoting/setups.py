"""Small invented options for the engineering tests, their figures chosen so that the arithmetic fits in a comment."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from quoting.pack import pack_figures
from quoting.parts import part_from_spec
from quoting.request import Bay, Donor, Option, PackPlan, PartLine, Policies, Wishes
from quoting.result import PackFigures
from quoting.setup import Fitted, Setup

CELL: dict[str, object] = {
    "chemistry": "nmc",
    "nominal_v": 3.6,
    "full_v": 4.2,
    "empty_v": 2.5,
    "capacity_ah": 5.0,
    "cont_a": 10.0,
    "peak_a": 20.0,
    "charge_a": 2.5,
    "resistance_mohm": 15.0,
    "diameter_mm": 21.5,
    "length_mm": 70.5,
    "mass_kg": 0.07,
    "health_percent": 100.0,
}
MOTOR: dict[str, object] = {"mount": "hub", "cont_kw": 8.0, "peak_kw": 16.0, "peak_efficiency": 0.8, "mass_kg": 22.0}
CONTROLLER: dict[str, object] = {
    "battery_cont_a": 200.0,
    "battery_peak_a": 400.0,
    "efficiency": 1.0,
    "low_cut_v": 55.0,
    "mass_kg": 4.0,
}
BMS: dict[str, object] = {"cont_a": 150.0, "peak_a": 300.0, "charge_a": 60.0, "low_cell_v": 2.8, "mass_kg": 1.0}
NO_LOADS = Policies(auxiliary_w=0.0)
PLAN = PackPlan(series=20, parallel=12, link_mohm=1.0)


def line(kind: str, spec: Mapping[str, object] | None = None, quantity: float = 1, **more: object) -> PartLine:
    """A line of one part; `more` are fields of the line, such as conductors or x_m, or code and name."""
    given: dict[str, object] = {"code": kind.upper(), "name": kind, **more}
    return PartLine(
        kind=kind,
        quantity=Decimal(str(quantity)),
        unit_price=Decimal(1),
        spec=spec or {},
        **given,  # type: ignore[arg-type]
    )


def setup_with(
    *parts: PartLine,
    plan: PackPlan | None = PLAN,
    donor: Donor | None = None,
    wishes: Wishes | None = None,
    policies: Policies = NO_LOADS,
    units: str = "metric",
) -> Setup:
    """An option of these parts, lamps and other loads off unless `policies` says otherwise."""
    fitted = tuple(Fitted(each, part_from_spec(each.kind, each.spec)) for each in parts)
    return Setup(
        option=Option(key="A", label="A", parts=parts, pack=plan),
        donor=donor,
        wishes=wishes or Wishes(),
        policies=policies,
        job="conversion",
        units=units,
        fitted=fitted,
    )


def pack_of(setup: Setup) -> PackFigures:
    """Its pack figures, which must exist."""
    found = pack_figures(setup)
    assert found is not None
    return found


def donor_with(*bays: Bay, **figures: object) -> Donor:
    """A donor with these bays."""
    return Donor(family="invented", label="Invented", bays=bays, **figures)  # type: ignore[arg-type]


def working_text(workings: tuple[object, ...], figure: str) -> str:
    """One working as text, for looking a word up in it."""
    return " ".join(str(working) for working in workings if getattr(working, "figure", "") == figure)
