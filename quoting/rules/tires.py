"""Tires: what they carry and how fast they may run, new ones on the quote and those that stay on the donor."""

from __future__ import annotations

from quoting.parts import Tire
from quoting.rules.facts import Facts
from quoting.rules.registry import BUILDS, rule
from quoting.rules.said import Lacks, Said, Says, above, at_most
from quoting.rules.ways_out import act, exchange
from quoting.setup import Fitted
from quoting.show import show_mass, show_speed
from quoting.weight import service_description

ENDS = ("front", "rear")
LOADS = "load index, ETRTO; 49 CFR 571.120 S5.1.2: axle rating within the tires' load"
SPEEDS = "speed symbol, ETRTO, from memory"


@rule(
    "tire-load",
    "weight",
    title="Tire carries too much",
    levels=("stop",),
    reads=("tire.end", "weight.front_laden_kg", "weight.rear_laden_kg"),
    when=("motor", "cell"),
    jobs=BUILDS,
    each="tire",
    may_read=("tire.load_kg", "tire.marking"),
    source=LOADS,
)
def tire_load(facts: Facts, item: Fitted[Tire], end: str, front_kg: float, rear_kg: float) -> Says:
    """Every tire on the quote carries its axle's laden load."""
    marked = service_description(item.part.marking or "")
    load_kg = item.part.load_kg or (marked.load_kg if marked else None)
    if load_kg is None:
        return Lacks("tire", "load_kg", item)
    return _load(facts, item.line.name, end, front_kg if end == "front" else rear_kg, load_kg)


@rule(
    "tire-speed",
    "weight",
    title="Bike is faster than its tire",
    levels=("stop",),
    reads=("ride.top_kmh",),
    when=("motor", "cell"),
    jobs=BUILDS,
    each="tire",
    may_read=("tire.marking", "tire.speed_kmh"),
    source=SPEEDS,
)
def tire_speed(facts: Facts, item: Fitted[Tire], top_kmh: float) -> Says:
    """Every tire on the quote is rated for the top speed."""
    marked = service_description(item.part.marking or "")
    rated_kmh = item.part.speed_kmh or (marked.speed_kmh if marked else None)
    if rated_kmh is None:
        return Lacks("tire", "speed_kmh", item)
    return _speed(facts, item.line.name, top_kmh, rated_kmh)


@rule(
    "kept-tire-load",
    "weight",
    title="Tire that stays on carries too much",
    levels=("stop",),
    reads=("weight.front_laden_kg", "weight.rear_laden_kg"),
    when=("motor", "cell"),
    about=("tire",),
    jobs=BUILDS,
    may_read=("tire.end",),
    source=LOADS,
)
def kept_tire_load(facts: Facts, front_kg: float, rear_kg: float) -> Says:
    """A tire that stays on carries its axle's laden load; the plate's axle rating stands in for its marking."""
    donor = facts.setup.donor
    if donor is None:
        return None
    found: list[Said | Lacks] = []
    for end, marking in _kept(facts):
        marked = service_description(marking or "")
        if marked is not None:
            said = _load(
                facts, f"the {end} tire {marking}", end, front_kg if end == "front" else rear_kg, marked.load_kg
            )
            found.extend([said] if said else [])
        elif (donor.gawr_front_kg if end == "front" else donor.gawr_rear_kg) is None:
            found.append(Lacks("donor", f"{end}_tire"))
    return tuple(found)


@rule(
    "kept-tire-speed",
    "weight",
    title="Bike is faster than a tire that stays on",
    levels=("stop",),
    reads=("ride.top_kmh",),
    when=("motor", "cell"),
    about=("tire",),
    jobs=BUILDS,
    may_read=("tire.end",),
    source=SPEEDS,
)
def kept_tire_speed(facts: Facts, top_kmh: float) -> Says:
    """A tire that stays on the donor and says its speed is rated for the top speed."""
    marked = [(end, marking, service_description(marking or "")) for end, marking in _kept(facts)]
    said = [
        _speed(facts, f"the {end} tire {marking}", top_kmh, each.speed_kmh) for end, marking, each in marked if each
    ]
    return tuple(each for each in said if each is not None)


def _kept(facts: Facts) -> list[tuple[str, str | None]]:
    """The ends for which the quote has no tire, with the donor's marking."""
    donor = facts.setup.donor
    new = {tire.part.end for tire in facts.setup.all(Tire)}
    markings = {"front": donor.front_tire, "rear": donor.rear_tire} if donor else {}
    return [(end, markings[end]) for end in ENDS if end in markings and end not in new]


def _load(facts: Facts, name: str, end: str, laden_kg: float, load_kg: float) -> Said | None:
    if not above(laden_kg, load_kg):
        return None
    units = facts.setup.units
    text = f"Laden, {show_mass(laden_kg, units)} stand on the {end} wheel; {name} carries {show_mass(load_kg, units)}."
    return at_most("stop", text, laden_kg, load_kg, "kg", exchange("tire"))


def _speed(facts: Facts, name: str, top_kmh: float, rated_kmh: float) -> Said | None:
    if not above(top_kmh, rated_kmh):
        return None
    units = facts.setup.units
    text = f"Top speed is {show_speed(top_kmh, units)}; {name} is good for {show_speed(rated_kmh, units)}."
    setting = act(f"Set the controller's speed limit to {show_speed(rated_kmh, units)}")
    return at_most("stop", text, top_kmh, rated_kmh, "km/h", exchange("tire"), setting)
