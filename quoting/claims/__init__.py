"""Claims about range, energy, power and charging, held against arithmetic: what contradicts itself is refused."""

from __future__ import annotations

from quoting.claims.charging import quickest_h, slowest_h
from quoting.claims.check import check_claim
from quoting.claims.claim import AGREES, BODIES, NEEDS, REFUSED, Body, Claim, ClaimCheck, ClaimLine
from quoting.claims.words import SaidCharge, charges_said, distances_said_km

__all__ = [
    "AGREES",
    "BODIES",
    "NEEDS",
    "REFUSED",
    "Body",
    "Claim",
    "ClaimCheck",
    "ClaimLine",
    "SaidCharge",
    "charges_said",
    "check_claim",
    "distances_said_km",
    "quickest_h",
    "slowest_h",
]
