"""What a quote comes to. Every dataclass here has a JSON form (see `quoting.codec`)."""

from __future__ import annotations

from quoting.result.figures import (
    BandPoint,
    BayFit,
    ChargeCase,
    ChargeFigures,
    PackFigures,
    ProfileRange,
    RideFigures,
    SagPoint,
    WeightFigures,
    WiringFigures,
    Working,
)
from quoting.result.finding import LEVELS, Finding, WayOut
from quoting.result.line import BuildPlan, LaneBooking, LanePlan, LinePlan, Move
from quoting.result.odds import Decider, Odds
from quoting.result.price import PriceLine, PriceSheet, TaxShare
from quoting.result.promise import Alternative, PartPromise, PlannedStep, Promise, Reason
from quoting.result.quote import OptionResult, QuoteResult

__all__ = [
    "LEVELS",
    "Alternative",
    "BandPoint",
    "BayFit",
    "BuildPlan",
    "ChargeCase",
    "ChargeFigures",
    "Decider",
    "Finding",
    "LaneBooking",
    "LanePlan",
    "LinePlan",
    "Move",
    "Odds",
    "OptionResult",
    "PackFigures",
    "PartPromise",
    "PlannedStep",
    "PriceLine",
    "PriceSheet",
    "ProfileRange",
    "Promise",
    "QuoteResult",
    "Reason",
    "RideFigures",
    "SagPoint",
    "TaxShare",
    "WayOut",
    "WeightFigures",
    "WiringFigures",
    "Working",
]
