"""Current and power: what the cells, the battery management and the motor are asked for, and what they may give."""

from __future__ import annotations

import math

from quoting.rules.facts import Facts
from quoting.rules.registry import rule
from quoting.rules.said import Lacks, Said, Says, above, at_least, at_most, below
from quoting.rules.ways_out import act, exchange, parallel_at_least
from quoting.show import show_amps, show_percent

BMS_HEADROOM = (
    1.1  # public practitioner report, case B5: continuous rating at least 1.1 × the controller's battery amps
)
# Public practitioner report, case B32: 12 to 14 AWG (3.3 to 2.1 mm²) good for 20 to 25 A, 6 to 12 A per mm².
LEAD_A_PER_MM2 = 10.0
WORN_SHARE = 0.8  # a pack's usual end of warranty, 80 % of its capacity: public practitioner report, case E11
HEAT_MINUTES = 30.0  # shop setting: half an hour at full continuous power is the hardest ride asked for
CELLS = "the cell maker's data sheet × count in parallel × health; public practitioner report, cases B6 and B38"
DEMAG = "the motor maker's demagnetising current; common practice, no source"


def _cells(facts: Facts, one_a: float, cell_a: float, parallel: int, word: str) -> Said | Lacks | None:
    """The count in parallel, worn as it is, against what the controller or controllers may draw."""
    wanted_a = one_a * facts.count("controller")
    store = facts.first("cell")
    known: float | None = getattr(store.part, "health_percent", None) if store else None
    health = 100.0 if known is None else known
    limit_a = parallel * cell_a * health / 100.0
    if not above(wanted_a, limit_a):
        short_when_worn = known is None and above(wanted_a, limit_a * WORN_SHARE)
        return Lacks("cell", "health_percent", store) if short_when_worn else None
    worn = f" at {show_percent(health / 100)} health" if health < 100 else ""
    text = (
        f"The controller may draw {show_amps(wanted_a)} {word}, {show_amps(wanted_a / parallel)} from each of "
        f"{parallel} "
        f"in parallel. At {show_amps(cell_a)} each{worn} they give {show_amps(limit_a)}."
    )
    setting = act(f"Set the controller's battery current ({word}) to {show_amps(limit_a)} or less")
    more = parallel_at_least(wanted_a / limit_a)
    return at_most("stop", text, wanted_a, limit_a, "A", setting, more, exchange("cell"))


@rule(
    "cell-continuous-current",
    "current",
    title="Continuous current above what the cells give",
    levels=("stop",),
    reads=("controller.battery_cont_a", "cell.cont_a", "pack.parallel"),
    may_read=("cell.health_percent",),
    source=CELLS,
)
def cell_continuous_current(facts: Facts, wanted_a: float, cell_a: float, parallel: int) -> Says:
    """The controller's continuous battery current stays within what the cells in parallel give for good."""
    return _cells(facts, wanted_a, cell_a, parallel, "continuously")


@rule(
    "cell-peak-current",
    "current",
    title="Peak current above what the cells give",
    levels=("stop",),
    reads=("controller.battery_peak_a", "cell.peak_a", "pack.parallel"),
    may_read=("cell.health_percent",),
    source=CELLS,
)
def cell_peak_current(facts: Facts, wanted_a: float, cell_a: float, parallel: int) -> Says:
    """The controller's peak battery current stays within what the cells in parallel give for 10 s."""
    return _cells(facts, wanted_a, cell_a, parallel, "at peak")


@rule(
    "bms-continuous-current",
    "current",
    title="Battery management too small for the continuous current",
    levels=("stop", "check"),
    reads=("controller.battery_cont_a", "bms.cont_a"),
    source="public practitioner report, case B5: at least 1.1 × the controller's battery current",
)
def bms_continuous_current(facts: Facts, one_a: float, bms_a: float) -> Says:
    """The battery management carries at least 1.1 times the controller's continuous battery current."""
    wanted_a = one_a * facts.count("controller")
    limit_a = wanted_a * BMS_HEADROOM
    if not below(bms_a, limit_a):
        return None
    level = "stop" if below(bms_a, wanted_a) else "check"
    text = (
        f"The controller may draw {show_amps(wanted_a)}; the battery management carries {show_amps(bms_a)} and should "
        f"carry {show_amps(limit_a)}. When it opens under load the bike is dead; do not power it again until the cause "
        "is found."
    )
    setting = act(f"Set the controller's battery current to {show_amps(bms_a / BMS_HEADROOM)} or less")
    return at_least(level, text, bms_a, limit_a, "A", exchange("bms"), setting)


@rule(
    "bms-peak-current",
    "current",
    title="Battery management too small for the peak current",
    levels=("stop",),
    reads=("controller.battery_peak_a", "bms.peak_a"),
    source="the maker's 10 s current; public practitioner report, case B5",
)
def bms_peak_current(facts: Facts, one_a: float, bms_a: float) -> Says:
    """The battery management passes the controller's peak battery current."""
    wanted_a = one_a * facts.count("controller")
    if not below(bms_a, wanted_a):
        return None
    text = (
        f"The controller may draw {show_amps(wanted_a)} at peak; the battery management opens above {show_amps(bms_a)}."
    )
    setting = act(f"Set the controller's peak battery current to {show_amps(bms_a)} or less")
    return at_least("stop", text, bms_a, wanted_a, "A", exchange("bms"), setting)


@rule(
    "controller-phase-demagnetises",
    "current",
    title="Controller can demagnetise the motor",
    levels=("stop",),
    reads=("controller.phase_peak_a", "motor.demag_phase_a"),
    source=DEMAG,
)
def controller_phase_demagnetises(facts: Facts, controller_a: float, demag_a: float) -> Says:
    """The controller's peak phase current stays under the motor's demagnetising current."""
    if below(controller_a, demag_a):
        return None
    text = (
        f"The controller can push {show_amps(controller_a)} into a phase; from {show_amps(demag_a)} the magnets lose "
        "strength for good."
    )
    setting = act(f"Lock the controller's phase current well under {show_amps(demag_a)}")
    return at_most("stop", text, controller_a, demag_a, "A", setting, exchange("controller"), exchange("motor"))


@rule(
    "controller-phase-over-motor-peak",
    "current",
    title="Controller can push more phase current than the motor takes",
    levels=("check",),
    reads=("controller.phase_peak_a", "motor.phase_peak_a"),
    source="the motor maker's peak phase current; common practice, no source",
)
def controller_phase_over_motor_peak(facts: Facts, controller_a: float, motor_a: float) -> Says:
    """The controller's peak phase current stays at or under the motor's."""
    if not above(controller_a, motor_a):
        return None
    text = (
        f"The controller can push {show_amps(controller_a)} into a phase; the motor takes {show_amps(motor_a)} at peak."
    )
    setting = act(f"Set the phase current to {show_amps(motor_a)} and write it on the build sheet")
    return at_most("check", text, controller_a, motor_a, "A", setting, exchange("controller"))


@rule(
    "controller-phase-short-of-motor",
    "current",
    title="Controller holds the motor back",
    levels=("note",),
    reads=("controller.phase_peak_a", "motor.phase_peak_a"),
    source="torque goes with phase current; common practice, no source",
)
def controller_phase_short_of_motor(facts: Facts, controller_a: float, motor_a: float) -> Says:
    """The controller gives at least three quarters of the phase current the motor can use."""
    limit_a = 0.75 * motor_a  # shop setting: less than this is felt when pulling away
    if not below(controller_a, limit_a):
        return None
    text = (
        f"The controller gives {show_amps(controller_a)} of the {show_amps(motor_a)} phase current the motor "
        "can use, so "
        f"about {show_percent(controller_a / motor_a)} of its peak torque."
    )
    return at_least("note", text, controller_a, limit_a, "A", exchange("controller"))


@rule(
    "controller-phase-continuous-over-motor",
    "current",
    title="Motor's continuous phase current is below the controller's",
    levels=("note",),
    reads=("controller.phase_cont_a", "motor.phase_cont_a"),
    source="the motor maker's continuous phase current; public practitioner report, case B31",
)
def controller_phase_continuous_over_motor(facts: Facts, controller_a: float, motor_a: float) -> Says:
    """The controller's continuous phase current stays at or under the motor's, or the motor needs watching."""
    if not above(controller_a, motor_a):
        return None
    text = (
        f"The controller can hold {show_amps(controller_a)} in a phase, the motor {show_amps(motor_a)}. On a "
        "long climb the "
        "motor overheats first; connect its temperature sensor."
    )
    return at_most(
        "note", text, controller_a, motor_a, "A", act("Connect the motor's temperature sensor and set its limit")
    )


@rule(
    "motor-lead-section",
    "current",
    title="Motor leads are thin for the phase current",
    levels=("stop", "check"),
    reads=("motor.phase_lead_mm2", "wiring.phase_cont_a"),
    source="public practitioner report, case B32: 2 to 3.3 mm² leads good for 20 to 25 A, 0.8 mm² very hot in minutes",
)
def motor_lead_section(facts: Facts, lead_mm2: float, phase_a: float) -> Says:
    """The motor's own leads carry the continuous phase current, not the battery current, at 10 A per mm² or less."""
    density = phase_a / lead_mm2
    if not above(density, LEAD_A_PER_MM2):
        return None
    level = "stop" if above(density, 2 * LEAD_A_PER_MM2) else "check"
    limit_a = LEAD_A_PER_MM2 * lead_mm2
    text = (
        f"{show_amps(phase_a)} of phase current in leads of {lead_mm2:.3g} mm² is {density:.0f} A per mm². "
        "Short leads are "
        f"good for about {LEAD_A_PER_MM2:.0f}, so for {show_amps(limit_a)}."
    )
    leads = act(f"Fit leads of {phase_a / LEAD_A_PER_MM2:.1f} mm² or more, up to the winding")
    setting = act(f"Set the phase current to {show_amps(limit_a)} or less")
    return at_most(level, text, phase_a, limit_a, "A", leads, setting, exchange("motor"))


@rule(
    "pack-heats-in-use",
    "current",
    title="Pack warms up at continuous power",
    levels=("note",),
    reads=("pack.heat_steady_c",),
    when=("motor", "cell"),
    source="I²R heat into the cells' mass; see the pack's working",
)
def pack_heats_in_use(facts: Facts, steady_c: float) -> Says:
    """The pack bears continuous power for at least half an hour before it is too hot."""
    minutes = facts.pack.heat_minutes if facts.pack else None  # None: it settles below the limit
    if minutes is None or not below(minutes, HEAT_MINUTES):
        return None
    text = f"At continuous power the pack reaches 55 °C in about {minutes:.0f} minutes, then power must come down."
    more = parallel_at_least(math.sqrt(HEAT_MINUTES / max(minutes, 1.0)))  # heat a cell goes with current squared
    return at_least("note", text, minutes, HEAT_MINUTES, "min", more)
