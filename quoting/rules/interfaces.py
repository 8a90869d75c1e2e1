"""Interfaces: what has to talk to what, and what must cut the drive."""

from __future__ import annotations

from quoting.parts import Bms, Charger, Controller, Display, Motor, Switch
from quoting.rules.facts import Facts
from quoting.rules.registry import rule
from quoting.rules.said import Lacks, Says, plainly
from quoting.rules.ways_out import act, exchange

NO_BUS = "none"
STAND = "common practice, no source; FMVSS 123 S5.2.4 asks for a stand that folds up, from memory; local law decides"


@rule(
    "rotor-sensor",
    "interfaces",
    title="Controller cannot read the motor's rotor sensor",
    levels=("stop",),
    reads=("motor.rotor_sensor", "controller.rotor_sensors"),
    source="the maker's list",
)
def rotor_sensor(facts: Facts, sensor: str, reads: tuple[str, ...]) -> Says:
    """The controller reads the motor's kind of rotor sensor."""
    if sensor in reads:
        return None
    has = "no rotor sensor" if sensor == "none" else f"a {sensor} sensor"
    text = f"The motor has {has}; the controller reads {', '.join(reads) or 'none'}."
    return plainly("stop", text, exchange("controller"), exchange("motor"))


@rule(
    "pair-not-run-before",
    "interfaces",
    title="Motor and controller have not been run together here",
    levels=("check", "note"),
    when=("motor",),
    judges=("motor",),
    reads=("controller.tested_motors",),
    source="public practitioner report, case A26: first pair abandoned after two years",
)
def pair_not_run_before(facts: Facts, tested: tuple[str, ...]) -> Says:
    """The controller has been run with this motor here, or the quote carries a contingency for it."""
    motor = facts.setup.one(Motor)
    if motor is None or motor.line.code in tested:
        return None
    if facts.setup.option.contingency_rate > 0:
        text = f"The controller has not been run with {motor.line.name} here; the contingency line is there for it."
        return plainly("note", text)
    text = (
        f"The controller has not been run with {motor.line.name} here, and no hours are kept for finding its settings."
    )
    return plainly(
        "check", text, exchange("controller"), act("Add a contingency, and a bench run before anything is welded")
    )


@rule(
    "display-bus",
    "interfaces",
    title="Display cannot talk to the controller",
    levels=("stop",),
    reads=("display.bus", "controller.bus"),
    may_read=("controller.bus_kbaud", "display.bus_kbaud"),
    source="the makers' data sheets",
)
def display_bus(facts: Facts, display: str, controller: str) -> Says:
    """The display and the controller share a data bus at one speed."""
    if display == NO_BUS:
        return None
    shown, run = facts.setup.one(Display), facts.setup.one(Controller)
    speeds = (shown.part.bus_kbaud if shown else None, run.part.bus_kbaud if run else None)
    return _bus("stop", ("display", display, speeds[0]), ("controller", controller, speeds[1]))


@rule(
    "charger-bus",
    "interfaces",
    title="Charger and battery management do not talk",
    levels=("check",),
    reads=("charger.bus", "bms.bus"),
    may_read=("bms.bus_kbaud", "charger.bus_kbaud"),
    source="the makers' data sheets; public practitioner report, case B7: the battery management did not stop it",
)
def charger_bus(facts: Facts, charger: str, bms: str) -> Says:
    """A charger with a data bus shares it with the battery management, so that it can be told to stop."""
    if charger == NO_BUS:
        return None
    plug, watch = facts.setup.one(Charger), facts.setup.one(Bms)
    speeds = (plug.part.bus_kbaud if plug else None, watch.part.bus_kbaud if watch else None)
    return _bus("check", ("charger", charger, speeds[0]), ("bms", bms, speeds[1]))


@rule(
    "bms-bus",
    "interfaces",
    title="Battery management cannot slow the controller down",
    levels=("note",),
    reads=("bms.bus", "controller.bus"),
    source="the makers' data sheets; common practice, no source",
)
def bms_bus(facts: Facts, bms: str, controller: str) -> Says:
    """A battery management with a data bus shares it with the controller, so that it can ask for less."""
    if bms in (NO_BUS, controller):
        return None
    text = f"The battery management has {bms.upper()}, the controller another bus or none: it can only open the pack."
    return plainly("note", text, exchange("controller"), exchange("bms"))


def _bus(level: str, one: tuple[str, str, float | None], other: tuple[str, str, float | None]) -> Says:
    (kind, bus, kbaud), (other_kind, other_bus, other_kbaud) = one, other
    words = {"bms": "battery management"}
    names = words.get(kind, kind), words.get(other_kind, other_kind)
    if bus != other_bus:
        has = f"has {other_bus.upper()}" if other_bus != NO_BUS else "has no data bus"
        return plainly(
            level, f"The {names[0]} needs {bus.upper()}; the {names[1]} {has}.", exchange(kind), exchange(other_kind)
        )
    if kbaud is None or other_kbaud is None:
        return Lacks(kind if kbaud is None else other_kind, "bus_kbaud")
    if kbaud == other_kbaud:
        return None
    text = f"Both have {bus.upper()}, but the {names[0]} runs at {kbaud:g} kbaud and the {names[1]} at {other_kbaud:g}."
    return plainly(level, text, act("Set both to one speed, if they can be set"), exchange(kind))


def _cut(facts: Facts, word: str) -> bool | Lacks:
    """Whether a switch on the quote gives this interlock; Lacks when a switch does not say what it gives."""
    switches = facts.setup.all(Switch)
    if any(word in (switch.part.interlocks or ()) for switch in switches):
        return True
    mute = next((switch for switch in switches if switch.part.interlocks is None), None)
    return Lacks("switch", "interlocks", mute) if mute else False


@rule(
    "kill-switch-missing",
    "interfaces",
    title="No kill switch",
    levels=("stop",),
    when=("motor", "controller"),
    about=("switch",),
    jobs=("conversion",),
    may_read=("switch.interlocks",),
    source="public practitioner report, cases B28 and B29: a separate kill line to the contactor",
)
def kill_switch_missing(facts: Facts) -> Says:
    """A switch within the rider's reach kills the drive."""
    found = _cut(facts, "kill-switch")
    if found:
        return found if isinstance(found, Lacks) else None
    text = "A throttle that fails open is full power. Only a kill switch that opens the contactor stops the bike."
    return plainly("stop", text, exchange("switch"), act("Keep the donor's kill switch and add it as a line"))


@rule(
    "brake-cutoff-missing",
    "interfaces",
    title="Brakes do not cut the drive",
    levels=("stop",),
    when=("motor", "controller"),
    about=("switch",),
    jobs=("conversion",),
    may_read=("switch.interlocks",),
    source="public practitioner report, case B29",
)
def brake_cutoff_missing(facts: Facts) -> Says:
    """A brake switch is on the quote."""
    found = _cut(facts, "brake-cutoff")
    if found:
        return found if isinstance(found, Lacks) else None
    text = "No brake switch is on the quote: the motor keeps pushing while the rider brakes."
    keep = act("Keep the donor's brake light switches and add them as a line")
    return plainly("stop", text, exchange("switch"), keep)


@rule(
    "brake-cutoff-unread",
    "interfaces",
    title="Controller has no input for the brake switch",
    levels=("stop",),
    reads=("controller.interlocks",),
    jobs=("conversion",),
    source="public practitioner report, case B29",
)
def brake_cutoff_unread(facts: Facts, inputs: tuple[str, ...]) -> Says:
    """The controller has an input for the brake switch."""
    if "brake-cutoff" in inputs:
        return None
    return plainly("stop", "Nothing tells the controller that the rider brakes.", exchange("controller"))


@rule(
    "side-stand-missing",
    "interfaces",
    title="Side stand does not cut the drive",
    levels=("check",),
    when=("motor", "controller"),
    about=("switch",),
    jobs=("conversion",),
    may_read=("switch.interlocks",),
    source=STAND,
)
def side_stand_missing(facts: Facts) -> Says:
    """A side-stand switch is on the quote."""
    found = _cut(facts, "side-stand")
    if found:
        return found if isinstance(found, Lacks) else None
    text = "No side-stand switch is on the quote: the bike can pull away with its stand down."
    return plainly("check", text, exchange("switch"), act("Show that the stand folds up by itself"))


@rule(
    "side-stand-unread",
    "interfaces",
    title="Controller has no input for the side-stand switch",
    levels=("check",),
    reads=("controller.interlocks",),
    when=("switch",),
    jobs=("conversion",),
    may_read=("switch.interlocks",),
    source=STAND,
)
def side_stand_unread(facts: Facts, inputs: tuple[str, ...]) -> Says:
    """The controller has an input for the side-stand switch that is on the quote."""
    if "side-stand" in inputs or _cut(facts, "side-stand") is not True:
        return None
    text = "The side-stand switch has nowhere to go at the controller."
    return plainly("check", text, exchange("controller"), act("Wire it into the key line"))
