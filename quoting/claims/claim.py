"""A claim about a bike, and the verdict on it: what holds, what is refused, and the arithmetic either way."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

AGREES, REFUSED, NEEDS = "agrees", "refused", "needs"


@dataclass(frozen=True)
class Body:
    """A kind of bike as the road feels it: drag area with rider [m2], mass with rider [kg]."""

    label: str
    cda_m2: float
    laden_kg: float


# Drag areas: a motorcycle-dynamics textbook cited in a public manual gives 0.18 m² (faired, prone) to 0.7 m²; within
# that, and for masses: common practice, no source. Sidecar outfit: mass from public practitioner report, case A35; drag
# area assumed.
BODIES: Mapping[str, Body] = MappingProxyType(
    {
        "naked": Body("Upright, no fairing", 0.60, 280.0),
        "faired": Body("Half fairing", 0.45, 275.0),
        "tucked": Body("Sport fairing, rider tucked in", 0.40, 270.0),
        "light": Body("Scooter, moped, small bike", 0.50, 190.0),
        "sidecar": Body("Sidecar outfit", 1.00, 460.0),
    }
)


@dataclass(frozen=True, kw_only=True)
class Claim:
    """What is said of a bike: by an advertisement, a maker, a customer. None is not said.

    `distance_km` on one charge [km], `energy_wh` of the full pack, nominal [Wh], `speed_kmh` the steady speed it is
    said to be ridden at [km/h], `charge_h` empty to full [h], `charger_w` the charger's power [W], `cont_w` the motor's
    continuous power [W]. `body` one of BODIES; `laden_kg` and `cda_m2` stand instead of the body's where they are
    known. `chemistry` nmc, lfp or lead.
    """

    distance_km: float | None = None
    energy_wh: float | None = None
    speed_kmh: float | None = None
    charge_h: float | None = None
    charger_w: float | None = None
    cont_w: float | None = None
    body: str = "naked"
    laden_kg: float | None = None
    cda_m2: float | None = None
    chemistry: str = "nmc"

    @property
    def mass_kg(self) -> float:
        """Mass with rider [kg], given or the body's."""
        return BODIES[self.body].laden_kg if self.laden_kg is None else self.laden_kg

    @property
    def drag_m2(self) -> float:
        """Drag area with rider [m2], given or the body's."""
        return BODIES[self.body].cda_m2 if self.cda_m2 is None else self.cda_m2


@dataclass(frozen=True, kw_only=True)
class ClaimLine:
    """One thing looked at: `about` range, energy, power or charging; `verdict` agrees, refused, or needs (what was not
    said, worked out); `arithmetic` the sum as anyone can check it; `text` what follows from it; `source`."""

    about: str
    verdict: str
    arithmetic: str
    text: str
    source: str


@dataclass(frozen=True, kw_only=True)
class ClaimCheck:
    """The verdict on a claim, line by line."""

    lines: tuple[ClaimLine, ...]

    @property
    def refused(self) -> tuple[ClaimLine, ...]:
        """What contradicts itself or the road. One such line, and the claim must not be printed."""
        return tuple(line for line in self.lines if line.verdict == REFUSED)
