"""What touches the frame and the road: adapters, tires, brakes, body work, hardware."""

from __future__ import annotations

from dataclasses import dataclass

from quoting.parts.fields import Part, spec
from quoting.parts.words import ADAPTER_PURPOSES, BRAKE_KINDS, ENDS, FRAME_KINDS, SIDES


@dataclass(frozen=True, kw_only=True)
class Adapter(Part):
    """Joins electric parts to one family of donor frames."""

    purpose: str | None = spec("Purpose", choices=ADAPTER_PURPOSES)
    families: tuple[str, ...] | None = spec("Fits donor families", help="Family codes, comma between.")
    frame_kinds: tuple[str, ...] | None = spec("Frame kinds", choices=FRAME_KINDS)
    reversible: bool | None = spec("Reversible", help="Bolts to what is there; nothing cut or welded.")
    torque_nm: float | None = spec("Axle torque it holds", "N m", low=1, high=3000, help="Axle adapters.")
    dropout_mm: float | None = spec("Makes dropout width", "mm", low=80, high=320, help="Axle adapters.")


@dataclass(frozen=True, kw_only=True)
class Tire(Part):
    """A tire by its marking."""

    marking: str | None = spec("Marking", help="Width/aspect-rim, as on the side: 130/70-17.")
    end: str | None = spec("End", choices=ENDS)
    load_kg: float | None = spec("Load at its index", "kg", low=50, high=800)
    speed_kmh: float | None = spec("Speed at its symbol", "km/h", low=50, high=300)


@dataclass(frozen=True, kw_only=True)
class Brake(Part):
    """A brake set for one end."""

    end: str | None = spec("End", choices=ENDS)
    brake_kind: str | None = spec("Kind", choices=BRAKE_KINDS)
    side: str | None = spec("Side", choices=SIDES)
    rated_mass_kg: float | None = spec("Rated for laden mass", "kg", low=50, high=1000)


@dataclass(frozen=True, kw_only=True)
class Bodywork(Part):
    """Panels, dummy tanks, seats."""

    families: tuple[str, ...] | None = spec("Fits donor families", help="Family codes. Empty for any.")


@dataclass(frozen=True, kw_only=True)
class Hardware(Part):
    """Bolts, terminals, sleeving and other small things."""

    families: tuple[str, ...] | None = spec("Fits donor families", help="Family codes. Empty for any.")
