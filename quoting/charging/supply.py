"""From the wall to the charger: circuits, the continuous-load rule, the control pilot of a public post."""

from __future__ import annotations

from dataclasses import dataclass

# NEC article 100, 210.20(A), 625.41: charging is a continuous load (3 h or more); a circuit is good for 80 % of its
# breaker. Used outside the United States as well, as a prudent figure.
CONTINUOUS_SHARE = 0.8
# Control pilot, SAE J1772 / IEC 61851-1 annex A: amps = 0.6 × duty from 10 to 85 %, 2.5 × (duty − 64) above to 96 %.
PILOT_LOW_SLOPE = 0.6
PILOT_HIGH_SLOPE, PILOT_HIGH_OFFSET = 2.5, 64.0


@dataclass(frozen=True)
class Circuit:
    """An outlet: volts and breaker amps, AC."""

    volts: float
    breaker_a: float

    @property
    def label(self) -> str:
        return f"{self.volts:g} V, {self.breaker_a:g} A breaker"

    @property
    def continuous_w(self) -> float:
        """Power [W] it may give for hours: volts × breaker × 0.8."""
        return self.volts * self.breaker_a * CONTINUOUS_SHARE


# What a home usually has where the customer has not said: common practice, no source.
USUAL_CIRCUITS = {"us": (Circuit(120.0, 15.0), Circuit(240.0, 30.0)), "metric": (Circuit(230.0, 16.0),)}


def least_breaker_a(load_a: float) -> float:
    """Least breaker [A] for a continuous load [A]: 125 %. Source: NEC 210.20(A), 625.41."""
    return load_a / CONTINUOUS_SHARE


def pilot_amps(duty_percent: float) -> float | None:
    """Current a charging post offers by the duty cycle of its control pilot.

    Parameters: `duty_percent` [%]. Returns: [A AC]; None where no charging is allowed without data communication
    (3 to 7 %) or at all (under 3, 7 to 8, over 97 %). The rule jumps from 51 to 52.5 A at 85 %.
    Source: SAE J1772 / IEC 61851-1 annex A.
    """
    if 8.0 <= duty_percent < 10.0:
        return 6.0
    if 10.0 <= duty_percent <= 85.0:
        return PILOT_LOW_SLOPE * duty_percent
    if 85.0 < duty_percent <= 96.0:
        return PILOT_HIGH_SLOPE * (duty_percent - PILOT_HIGH_OFFSET)
    return 80.0 if 96.0 < duty_percent <= 97.0 else None
