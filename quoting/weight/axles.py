"""Statics of two axles: masses at positions along the wheelbase."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class AxleLoads:
    """What stands on each axle [kg]."""

    front_kg: float
    rear_kg: float

    @property
    def total_kg(self) -> float:
        return self.front_kg + self.rear_kg

    def plus(self, mass_kg: float, x_m: float, wheelbase_m: float) -> AxleLoads:
        """With a mass [kg] at `x_m` behind the front axle [m]; a negative mass is taken away."""
        rear_kg = mass_kg * x_m / wheelbase_m
        return AxleLoads(self.front_kg + mass_kg - rear_kg, self.rear_kg + rear_kg)


def axle_loads(masses: Iterable[tuple[float, float]], wheelbase_m: float) -> AxleLoads:
    """Axle loads of masses [kg] at positions behind the front axle [m]: rear = Σ m·x / L, front = total − rear.

    A mass behind the rear axle (x over `wheelbase_m` [m]) makes the front lighter. Source: statics.
    """
    loads = AxleLoads(0.0, 0.0)
    for mass_kg, x_m in masses:
        loads = loads.plus(mass_kg, x_m, wheelbase_m)
    return loads


def center_behind_front_m(loads: AxleLoads, wheelbase_m: float) -> float:
    """Center of gravity behind the front axle [m]: rear load × wheelbase / total. Source: statics of weighing."""
    return loads.rear_kg * wheelbase_m / loads.total_kg
