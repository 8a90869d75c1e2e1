"""The throttle: its signal, its range, and what happens when a wire breaks."""

from __future__ import annotations

from quoting.parts import Throttle
from quoting.rules.facts import Facts
from quoting.rules.registry import Applies, rule
from quoting.rules.said import Says, at_least, at_most, plainly
from quoting.rules.ways_out import act, exchange
from quoting.show import show_volts

# Public practitioner report, cases B25, B26 and B28: a Hall input takes 0.7 to 4.0 V at 5 V and faults above 4.0 V.
HALL_LOW_V, HALL_HIGH_V, SUPPLY_V = 0.7, 4.0, 5.0
POT_KOHM = 5.0  # public practitioner report, case B25: potentiometer inputs expect 0 to 5 kohm
POT_TOLERANCE = 0.2  # potentiometers are made to 20 %; common practice, no source


def is_signal(word: str) -> Applies:
    """Where the throttle on the option gives that kind of signal."""
    return lambda facts, item: (found := facts.setup.one(Throttle)) is not None and found.part.signal == word


@rule(
    "throttle-signal",
    "throttle",
    title="Controller does not take this throttle's signal",
    levels=("stop",),
    reads=("throttle.signal", "controller.throttles"),
    may_read=("throttle.resistance_kohm",),
    source="the maker's list; public practitioner report, cases B25 and B26",
)
def throttle_signal(facts: Facts, signal: str, takes: tuple[str, ...]) -> Says:
    """The controller takes the throttle's kind of signal."""
    if signal in takes:
        return None
    text = f"The throttle gives a {signal} signal; the controller takes {', '.join(takes) or 'none stated'}."
    ways = (exchange("throttle"), exchange("controller"))
    throttle = facts.setup.one(Throttle)
    kohm = throttle.part.resistance_kohm if throttle else None
    if signal == "pot" and "hall" in takes and kohm:
        below, over = pot_on_hall_input(kohm)
        series = f"{below:.1f} kΩ below and {over:.1f} kΩ above the {kohm:g} kΩ potentiometer"
        return plainly("stop", text, *ways, act(f"Fit an interface, or {series}, and test both ends"))
    return plainly("stop", text, *ways, act("Fit a signal interface and add it as a line"))


def pot_on_hall_input(resistance_kohm: float) -> tuple[float, float]:
    """Resistors [kohm] below and above a potentiometer so that it spans a Hall input's 0.7 to 4.0 V at 5 V.

    The potentiometer carries (4.0 − 0.7) V / R, the same current runs through both resistors. Source: Ohm's law.
    """
    milliamps = (HALL_HIGH_V - HALL_LOW_V) / resistance_kohm
    return HALL_LOW_V / milliamps, (SUPPLY_V - HALL_HIGH_V) / milliamps


@rule(
    "throttle-range-high",
    "throttle",
    title="Open throttle reads as a fault",
    levels=("check",),
    reads=("throttle.high_v",),
    when=("controller",),
    where=is_signal("hall"),
    may_read=("throttle.signal",),
    source="public practitioner report, cases B25 and B28: above 4.0 V is a fault",
)
def throttle_range_high(facts: Facts, high_v: float) -> Says:
    """A Hall throttle that is fully open stays at or under 4.0 V, where controllers see a broken wire."""
    if high_v <= HALL_HIGH_V:
        return None
    text = (
        f"Fully open it gives {show_volts(high_v)}. Controllers take more than {show_volts(HALL_HIGH_V)} for a broken "
        "ground; if this one does not, a broken ground is full power."
    )
    ways = (
        exchange("throttle"),
        act("Set the controller's fault limit just above it, then break each wire and see it stop"),
    )
    return at_most("check", text, high_v, HALL_HIGH_V, "V", *ways)


@rule(
    "throttle-range-low",
    "throttle",
    title="Closed throttle is too close to zero",
    levels=("check",),
    reads=("throttle.low_v",),
    when=("controller",),
    where=is_signal("hall"),
    may_read=("throttle.signal",),
    source="public practitioner report, cases B25 and B26: valid from 0.7 V",
)
def throttle_range_low(facts: Facts, low_v: float) -> Says:
    """A Hall throttle that is closed stands at 0.7 V or more, so that a broken signal wire can be told from it."""
    if low_v >= HALL_LOW_V:
        return None
    text = f"Closed it gives {show_volts(low_v)}; under {show_volts(HALL_LOW_V)} a broken signal wire looks the same."
    return at_least("check", text, low_v, HALL_LOW_V, "V", exchange("throttle"), act("Test both ends on the bench"))


@rule(
    "throttle-resistance",
    "throttle",
    title="Potentiometer is not what the controller expects",
    levels=("check",),
    reads=("throttle.resistance_kohm",),
    when=("controller",),
    where=is_signal("pot"),
    may_read=("throttle.signal",),
    source="public practitioner report, case B25: 0 to 5 kohm",
)
def throttle_resistance(facts: Facts, kohm: float) -> Says:
    """A potentiometer throttle has 5 kohm within 20 %."""
    if abs(kohm - POT_KOHM) <= POT_TOLERANCE * POT_KOHM * (1 + 1e-9):
        return None
    text = f"It has {kohm:g} kΩ; controllers expect {POT_KOHM:g} kΩ and may see a fault at one end."
    return at_most("check", text, kohm, POT_KOHM, "kohm", exchange("throttle"), act("Test both ends on the bench"))


@rule(
    "throttle-does-not-close",
    "throttle",
    title="Throttle does not close by itself",
    levels=("stop",),
    reads=("throttle.has_cutoff",),
    source="public practitioner report, case B28; FMVSS 123: the throttle returns to idle, from memory",
)
def throttle_does_not_close(facts: Facts, has_cutoff: bool) -> Says:
    """The throttle springs back and faults when its signal leaves the range."""
    if has_cutoff:
        return None
    text = "It has no return spring or no over-range fault. A broken ground wire then means full power."
    return plainly("stop", text, exchange("throttle"))
