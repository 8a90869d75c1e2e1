"""Voltage of the full pack against every part that sees it.

The full pack decides, never the nominal figure and never a number in a part's name (public practitioner report,
cases B1 to B3).
"""

from __future__ import annotations

from quoting.parts import Cable, Connector, Controller, Part
from quoting.rules.facts import Facts
from quoting.rules.registry import rule
from quoting.rules.said import Said, Says, above, at_least, at_most
from quoting.rules.ways_out import act, exchange, series_at_most
from quoting.setup import Fitted
from quoting.show import show_volts

PRACTICE = "common practice, no source"
MAKERS_MAX = "the maker's highest voltage; common practice, no source"

# Full voltage per cell: 4.20 and 3.65 V as in public practitioner report, case B2; 1 % for the data sheet's rounding.
# Lead: 2.45 V per 2 V cell at the end of charge, from memory.
HIGHEST_CELL_V = {"nmc": 4.20, "lfp": 3.65, "lead": 2.45}
CELL_V_ROUNDING = 0.01


def sees_pack(facts: Facts, item: Fitted[Part] | None) -> bool:
    """A cable or connector in any circuit but the low-voltage one."""
    return item is not None and getattr(item.part, "circuit", None) != "low-voltage"


def _over(full_v: float, limit_v: float, whose: str, kind: str) -> Said | None:
    """The one comparison behind every voltage limit: silent at the limit, a stop past it."""
    if not above(full_v, limit_v):
        return None
    text = f"The full pack stands at {show_volts(full_v)}. {whose} takes at most {show_volts(limit_v)}."
    return at_most("stop", text, full_v, limit_v, "V", series_at_most(limit_v), exchange(kind))


@rule(
    "pack-full-over-controller-max",
    "voltage",
    title="Full pack above the controller's limit",
    levels=("stop",),
    reads=("pack.full_v", "controller.max_v"),
    source=MAKERS_MAX,
)
def pack_full_over_controller_max(facts: Facts, full_v: float, max_v: float) -> Says:
    """The full pack stays at or under the controller's highest voltage."""
    return _over(full_v, max_v, "The controller", "controller")


@rule(
    "pack-full-over-motor-max",
    "voltage",
    title="Full pack above the motor's limit",
    levels=("stop",),
    reads=("pack.full_v", "motor.max_v"),
    source=MAKERS_MAX,
)
def pack_full_over_motor_max(facts: Facts, full_v: float, max_v: float) -> Says:
    """The full pack stays at or under the motor's highest voltage."""
    return _over(full_v, max_v, "The motor", "motor")


@rule(
    "pack-full-over-bms-max",
    "voltage",
    title="Full pack above the battery management's limit",
    levels=("stop",),
    reads=("pack.full_v", "bms.max_v"),
    source=MAKERS_MAX,
)
def pack_full_over_bms_max(facts: Facts, full_v: float, max_v: float) -> Says:
    """The full pack stays at or under the battery management's highest voltage."""
    return _over(full_v, max_v, "The battery management", "bms")


@rule(
    "pack-full-over-contactor-max",
    "voltage",
    title="Full pack above the contactor's DC rating",
    levels=("stop",),
    reads=("pack.full_v", "contactor.max_v"),
    source="the maker's DC rating; an AC rating does not count; common practice, no source",
)
def pack_full_over_contactor_max(facts: Facts, full_v: float, max_v: float) -> Says:
    """The full pack stays at or under the contactor's DC rating."""
    return _over(full_v, max_v, "By its DC rating the contactor", "contactor")


@rule(
    "pack-full-over-fuse-dc",
    "voltage",
    title="Full pack above the fuse's DC rating",
    levels=("stop",),
    reads=("pack.full_v", "fuse.dc_v"),
    source="fuse makers' application notes: DC rating at or above the highest pack voltage; public practitioner "
    "report, case B17",
)
def pack_full_over_fuse_dc(facts: Facts, full_v: float, dc_v: float) -> Says:
    """The full pack stays at or under the main fuse's DC rating."""
    return _over(full_v, dc_v, "By its DC rating the fuse", "fuse")


@rule(
    "pack-full-over-precharge-max",
    "voltage",
    title="Full pack above the pre-charge unit's limit",
    levels=("stop",),
    reads=("pack.full_v", "precharge.max_v"),
    source=MAKERS_MAX,
)
def pack_full_over_precharge_max(facts: Facts, full_v: float, max_v: float) -> Says:
    """The full pack stays at or under the pre-charge unit's highest voltage."""
    return _over(full_v, max_v, "The pre-charge unit", "precharge")


@rule(
    "pack-full-over-dcdc-max",
    "voltage",
    title="Full pack above the DC-DC converter's input",
    levels=("stop",),
    reads=("pack.full_v", "dcdc.input_high_v"),
    source="the maker's input range; public practitioner report, case B35",
)
def pack_full_over_dcdc_max(facts: Facts, full_v: float, high_v: float) -> Says:
    """The full pack stays at or under the DC-DC converter's highest input."""
    return _over(full_v, high_v, "The DC-DC converter", "dcdc")


@rule(
    "pack-full-over-connector-max",
    "voltage",
    title="Full pack above a connector's rating",
    levels=("stop",),
    reads=("pack.full_v", "connector.max_v"),
    each="connector",
    where=sees_pack,
    may_read=("connector.circuit",),
    source=MAKERS_MAX,
)
def pack_full_over_connector_max(facts: Facts, item: Fitted[Connector], full_v: float, max_v: float) -> Says:
    """The full pack stays at or under the rating of every connector outside the low-voltage circuit."""
    return _over(full_v, max_v, item.line.name, "connector")


@rule(
    "pack-full-over-cable-max",
    "voltage",
    title="Full pack above a cable's rating",
    levels=("stop",),
    reads=("pack.full_v", "cable.max_v"),
    each="cable",
    where=sees_pack,
    may_read=("cable.circuit",),
    source=MAKERS_MAX,
)
def pack_full_over_cable_max(facts: Facts, item: Fitted[Cable], full_v: float, max_v: float) -> Says:
    """The full pack stays at or under the rating of every cable outside the low-voltage circuit."""
    return _over(full_v, max_v, item.line.name, "cable")


@rule(
    "cell-full-voltage-doubtful",
    "voltage",
    title="Full voltage of the cell does not fit its chemistry",
    levels=("stop", "check"),
    reads=("cell.full_v", "cell.nominal_v", "pack.full_v", "pack.chemistry"),
    about=("module",),
    source="public practitioner report, cases B2 and B9: 4.20 V NMC, 3.65 V LFP",
)
def cell_full_voltage_doubtful(
    facts: Facts, block_full_v: float, nominal_v: float, full_v: float, chemistry: str
) -> Says:
    """A full cell stands above its nominal voltage and not above what its chemistry allows."""
    if not above(block_full_v, nominal_v):
        text = (
            f"Full voltage {show_volts(block_full_v)} is not above nominal {show_volts(nominal_v)}: "
            "the nominal figure was entered as the full one, and every voltage check rests on it."
        )
        return at_least(
            "stop", text, block_full_v, nominal_v, "V", act("Enter the end-of-charge voltage of the data sheet")
        )
    groups = facts.pack.series_cells if facts.pack else 0
    most_v = HIGHEST_CELL_V.get(chemistry)
    if not groups or most_v is None or not above(full_v / groups, most_v * (1 + CELL_V_ROUNDING)):
        return None
    text = f"{full_v / groups:.2f} V a cell when full is more than the {most_v:.2f} V usual for {chemistry.upper()}."
    return at_most(
        "check", text, full_v / groups, most_v, "V", act("Check chemistry and full voltage against the data sheet")
    )


@rule(
    "motor-overspeed",
    "voltage",
    title="Motor can be driven past its highest speed",
    levels=("check",),
    reads=("pack.full_v", "motor.kv_rpm_per_v", "motor.max_rpm"),
    about=("controller",),
    may_read=("controller.modulation",),
    source="no-load speed = Kv × U × voltage use; common practice, no source",
)
def motor_overspeed(facts: Facts, full_v: float, kv: float, max_rpm: float) -> Says:
    """On a full pack the motor's no-load speed stays at or under its highest speed."""
    controller = facts.setup.one(Controller)
    modulation = controller.part.modulation if controller and controller.part.modulation else 1.0
    free_rpm = kv * full_v * modulation
    if not above(free_rpm, max_rpm):
        return None
    text = (
        f"With the wheel in the air a full pack drives the motor to {free_rpm:,.0f} rpm; it is good for {max_rpm:,.0f}."
    )
    limit = act(f"Set the controller's speed limit to {max_rpm:,.0f} rpm and prove it on the stand")
    return at_most("check", text, free_rpm, max_rpm, "rpm", limit, series_at_most(max_rpm / kv / modulation))
