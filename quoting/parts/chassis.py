"""What touches the frame and the road: adapters, tires, brakes, body work, hardware."""

from __future__ import annotations

from dataclasses import dataclass

from quoting.parts.fields import Part, spec
from quoting.parts.words import ADAPTER_PURPOSES, BRAKE_KINDS, ENDS, FRAME_KINDS, SIDES


@dataclass(frozen=True, kw_only=True)
class Adapter(Part):
    """Joins electric parts to one family of donor frames."""

    purpose: str | None = spec(
        "Purpose", choices=ADAPTER_PURPOSES, help="structural carries frame load, axle holds torque."
    )
    families: tuple[str, ...] | None = spec("Fits donor families", help="Family codes, comma between.")
    frame_kinds: tuple[str, ...] | None = spec("Frame kinds", choices=FRAME_KINDS, help="Kinds of frame it may go on.")
    reversible: bool | None = spec("Reversible", help="Bolts to what is there; nothing cut or welded.")
    torque_nm: float | None = spec("Axle torque it holds", "N m", low=1, high=3000, help="Axle adapters.")
    dropout_mm: float | None = spec("Makes dropout width", "mm", low=80, high=320, help="Axle adapters.")


@dataclass(frozen=True, kw_only=True)
class Tire(Part):
    """A tire by its marking."""

    marking: str | None = spec("Marking", help="Width/aspect-rim, as on the side: 130/70-17.")
    end: str | None = spec("End", choices=ENDS, help="Which wheel of the bike.")
    load_kg: float | None = spec("Load at its index", "kg", low=50, high=800, help="Empty: read from the marking.")
    speed_kmh: float | None = spec(
        "Speed at its symbol", "km/h", low=50, high=300, help="Empty: read from the marking."
    )


@dataclass(frozen=True, kw_only=True)
class Wheel(Part):
    """A rim with its hub, for one end. The tire is a line of its own; a hub motor brings its own rim."""

    end: str | None = spec("End", choices=ENDS, help="Which wheel of the bike.")
    rim_inch: float | None = spec("Rim diameter", "inch", low=8, high=23, help="As in the tire's marking.")
    rim_width_inch: float | None = spec(
        "Rim width", "inch", low=1.2, high=12, help="Inside, where the tire sits: 2.50."
    )
    spacing_mm: float | None = spec("Width over the hub", "mm", low=60, high=320, help="With its spacers, at the axle.")
    axle_mm: float | None = spec("Axle diameter", "mm", low=8, high=40, help="Of the axle its bearings are made for.")
    rated_kg: float | None = spec("Rated load", "kg", low=50, high=800, help="What the maker lets it carry.")


@dataclass(frozen=True, kw_only=True)
class Brake(Part):
    """A brake set for one end."""

    end: str | None = spec("End", choices=ENDS, help="Which wheel of the bike.")
    brake_kind: str | None = spec("Kind", choices=BRAKE_KINDS, help="Disc or drum.")
    side: str | None = spec("Side", choices=SIDES, help="Seen from the seat.")
    rated_mass_kg: float | None = spec(
        "Rated for laden mass", "kg", low=50, high=1000, help="Bike, riders and luggage together."
    )


@dataclass(frozen=True, kw_only=True)
class Bodywork(Part):
    """Panels, dummy tanks, seats."""

    families: tuple[str, ...] | None = spec("Fits donor families", help="Family codes. Empty for any.")


@dataclass(frozen=True, kw_only=True)
class Hardware(Part):
    """Bolts, terminals, sleeving and other small things."""

    families: tuple[str, ...] | None = spec("Fits donor families", help="Family codes. Empty for any.")
