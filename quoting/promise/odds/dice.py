"""What is uncertain and by how much: one seeded set of draws for a whole simulation."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from quoting.promise.odds.arrays import Floats, Ints
from quoting.promise.odds.draws import pert_draws, stratified_normals, uniforms
from quoting.promise.odds.ground import HOUR_MINUTES, Chain, three_points

HOURS_SPREAD = 0.10  # shop-wide error of estimates as a whole, before any is known (our own choice)
SUPPLIER_SHARE = 0.5  # share of a lead time's variance that is the supplier's, not the order's (our own choice)


@dataclass(frozen=True, slots=True)
class Dice:
    """Seed, number of samples, and how wide what is uncertain is.

    `hours_center` and `hours_spread` of the log of true over estimated hours, one draw for the whole shop per sample;
    `supplier_share` how much of a lead time's variance its supplier's orders have in common [0..1].
    """

    samples: int
    seed: int = 1
    hours_center: float = 0.0
    hours_spread: float = HOURS_SPREAD
    supplier_share: float = SUPPLIER_SHARE

    def uniforms(self, entity: str) -> Floats:
        """A number in (0, 1) per sample for an entity."""
        return uniforms(self.seed, entity, self.samples)

    def stratified(self, entity: str) -> Floats:
        """A standard normal number per sample for a factor shared by many, spread evenly over its strata."""
        return stratified_normals(self.seed, entity, self.samples)

    def pert(self, low: float, likely: float, high: float, entity: str) -> Floats:
        """A draw of a three-point estimate per sample for an entity; with no spread, `likely`."""
        if high <= low:
            return np.full(self.samples, likely)
        return low + (high - low) * pert_draws((likely - low) / (high - low), self.seed, entity, self.samples)

    def bias(self) -> Floats:
        """True over estimated hours of the whole shop, per sample. Its mean is exp(hours_center)."""
        spread = self.hours_spread
        return np.exp(self.hours_center + spread * self.stratified("hours") - spread * spread / 2)

    def minutes(self, chain: Chain) -> list[Ints]:
        """Sampled length of each step of a build [min]; 0 for outside work and steps without hours."""
        bias = self.bias()
        found: list[Ints] = []
        seen: dict[str, int] = {}
        for task in chain.tasks:
            step = task.step
            seen[step.code] = seen.get(step.code, 0) + 1
            if task.outside or not task.slots:
                found.append(np.zeros(self.samples, np.int64))
                continue
            low_h, likely_h, high_h = map(float, three_points(step))
            entity = f"step|{chain.number}|{step.code}|{seen[step.code]}"
            hours = self.pert(low_h, likely_h, high_h, entity) * bias
            found.append(np.maximum(np.rint(hours * HOUR_MINUTES), 1).astype(np.int64))
        return found
