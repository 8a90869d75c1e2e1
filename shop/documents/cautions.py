"""The cautions printed on a customer's quote, in plain words. No legal or professional advice: local codes and
licensed people decide.

Basis: 60 V DC as the class that needs protection against touch, UN Regulation No. 100 and ISO 6469-3; 29 CFR
1910.303(g)(2)(i), live parts guarded from 50 V; NFPA 70E, a battery cannot be switched off; vehicle fire tests for
NFPA, re-ignition for days; NEC 625.41 and 210.20(A), charging is a continuous load; 49 CFR 173.185, class 9. The rest:
common practice, no source. That tax is charged at the rate on the date of supply stands with the terms.
"""

from __future__ import annotations

from quoting.request import QuoteRequest
from quoting.result import OptionResult, QuoteResult
from shop.documents.pen import Pen

CLASS_B_V = 60.0  # UN Regulation No. 100 and ISO 6469-3: above 60 V DC
FROST_C = 0.0  # lithium cells are not charged below; common practice, data sheets

CHARGING_CIRCUIT = (
    "Have a licensed electrician confirm that outlet and circuit suit hours of continuous load; the local electrical "
    "code decides."
)
FIRE = "Smoke, hissing or swelling: get away, call the fire service, say lithium-ion. It can flare up again for days."
RANGE = (
    "Range is an estimate for the speeds, mass and temperature stated; cold, wind, speed, luggage and aging reduce it."
)
WEIGHT = "Stay within the weight and axle ratings on the bike's plate; passenger and luggage count."
HANDLING = (
    "The bike brakes, steers and balances differently than before: ride it first on a quiet road. Lift it only at its "
    "marked points; have axle and mounting bolts retightened to the torques on the handover sheet."
)
LAW = (
    "Local law decides on registration, inspection, insurance and roadworthiness of a changed drive; who obtains them "
    "is agreed in writing."
)
TRANSPORT = "A removed or damaged battery is dangerous goods, class 9, in transport: ask before shipping it."
ESTIMATES = "Design figures are estimates until a competent person has verified them on the finished bike."
FITTING = "Parts sold without fitting are to be installed and tested by people qualified for it."


def cautions_of(request: QuoteRequest, result: QuoteResult, pen: Pen) -> tuple[str, ...]:
    """Those that apply to any of the options."""
    has_battery = any(_has_battery(request, option) for option in result.options)
    kit = request.job == "parts_kit"
    rides = any(option.ride is not None for option in result.options)
    told: list[str] = []
    if has_battery:
        told += [_voltage(result, pen), CHARGING_CIRCUIT, _charging(pen), FIRE]
    if rides:
        told += [RANGE, WEIGHT, HANDLING]
    if has_battery:
        told.append(TRANSPORT)
    if kit:
        told.append(FITTING)
    told += [LAW, ESTIMATES]
    return tuple(pen.own(text) for text in told)


def _has_battery(request: QuoteRequest, result: OptionResult) -> bool:
    option = next(item for item in request.options if item.key == result.key)
    return result.pack is not None or any(part.kind in {"cell", "module"} for part in option.parts)


def _voltage(result: QuoteResult, pen: Pen) -> str:
    full = [option.pack.full_v for option in result.options if option.pack and option.pack.full_v is not None]
    most_v = max(full, default=None)
    if most_v is not None and most_v <= CLASS_B_V:
        return (
            f"The battery holds {pen.volts(most_v)} when full and gives very high current: a slipped tool burns and "
            "starts fires. It cannot be switched off; only qualified people open it."
        )
    holds = f"holds {pen.volts(most_v)} when full" if most_v is not None else "can exceed 60\u00a0V DC"
    return (
        f"The battery {holds}; above 60\u00a0V DC a touch can kill, and it cannot be switched off. Parts with orange "
        "covering or the warning sign are opened by qualified people only."
    )


def _charging(pen: Pen) -> str:
    return (
        f"Do not charge below {pen.temperature(FROST_C)}, nor unattended after a crash, flood, deep discharge or fault "
        "warning. Charge away from the only way out of a dwelling."
    )
