"""Rows for frame, hub motor, chain drive and weight."""

from __future__ import annotations

from decimal import Decimal

from quoting.request import Bay
from quoting.result import BayFit
from tests.quoting.rules.bike import Bike, Spec
from tests.quoting.rules.row import Row, says, spec

ROOM = (BayFit(bay="Engine bay", capacity=240, used=240, layout="upright"),)
SHORT = (BayFit(bay="Engine bay", capacity=239, used=239, layout="upright"),)


def mid(bike: Bike) -> Bike:
    """With a mid motor, chain and mount."""
    return bike.mid()


def stressed(bike: Bike) -> Bike:
    """The frame's engine is part of it."""
    return bike.given(frame_kind="stressed")


def structural(bike: Bike, *families: str) -> Bike:
    """With a structural adapter for these families."""
    return stressed(bike).plus(
        "adapter", "adapter", purpose="structural", families=list(families), reversible=True, mass_kg=9
    )


def heavier(bike: Bike, after_kg: float = 200.0, laden_kg: float = 290.0) -> Bike:
    """The bike gains 10 kg."""
    return bike.saying("weight", before_kg=190.0, after_kg=after_kg, laden_kg=laden_kg)


def kept(bike: Bike) -> Bike:
    """The donor's rear tire stays on."""
    return bike.without("tire").given(rear_tire="130/70-17 63P")


FRONT_WHEEL: Spec = {"end": "front", "rim_inch": 18, "rim_width_inch": 2.15, "rated_kg": 140, "mass_kg": 7}
REAR_WHEEL: Spec = {
    "end": "rear", "rim_inch": 17, "rim_width_inch": 3.5, "spacing_mm": 190, "axle_mm": 12, "rated_kg": 230,
    "mass_kg": 8,
}  # fmt: skip


def wheeled(bike: Bike) -> Bike:
    """A mid-motor bike with new wheels, 100/90-18 in front and 130/70-17 behind."""
    return bike.mid().plus("front wheel", "wheel", **FRONT_WHEEL).plus("rear wheel", "wheel", **REAR_WHEEL)


DRUM: Spec = {"end": "front", "brake_kind": "drum", "side": "left", "rated_mass_kg": 400}

ROWS = [
    Row("stressed-frame-adapter", "stop", stressed, lambda b: structural(b, "plain-twin")),
    Row("stressed-frame-adapter", "stop", lambda b: structural(b, "other-four")),
    Row(
        "mid-motor-mount",
        "check",
        spec("mount", families=["other-four"]),
        spec("mount", families=["plain-twin"]),
        sound=mid,
    ),
    Row(
        "adapter-family",
        "stop",
        spec("torque arms", families=["other-four"]),
        spec("torque arms", families=["other-four", "plain-twin"]),
    ),
    Row(
        "adapter-frame-kind",
        "stop",
        spec("torque arms", frame_kinds=["stressed"]),
        spec("torque arms", frame_kinds=["stressed", "cradle"]),
    ),
    Row("enclosure-family", "stop", spec("enclosure", families=["other-four"]), spec("enclosure", families=[])),
    Row(
        "bodywork-family",
        "check",
        lambda b: b.plus("tank", "bodywork", families=["other-four"], mass_kg=4),
        lambda b: b.plus("tank", "bodywork", families=["plain-twin"], mass_kg=4),
    ),
    Row(
        "hardware-family",
        "check",
        lambda b: b.plus("bolts", "hardware", families=["other-four"], mass_kg=1),
        lambda b: b.plus("bolts", "hardware", mass_kg=1),
    ),
    Row("pack-does-not-fit", "stop", says("pack", fit=SHORT), says("pack", fit=ROOM), 240, 239),
    Row("box-has-no-place", "stop", says("pack", unplaced=("charger: its longest side is 20 mm too long for Tank.",))),
    # 470 mm bay, 440 × 250 × 330 mm box
    Row(
        "enclosure-in-bay",
        "stop",
        lambda b: b.given(bays=(Bay(name="Engine bay", length_mm=439, width_mm=250, height_mm=330),)),
        lambda b: b.given(bays=(Bay(name="Engine bay", length_mm=440, width_mm=250, height_mm=330),)),
    ),
    Row("enclosure-not-sealed", "check", spec("enclosure", sealed=False)),
    Row("hub-motor-with-chain", "stop", lambda b: b.plus("chain", "final_drive", motor_teeth=14, wheel_teeth=60)),
    # 1 mm is drawn apart by hand
    Row("hub-width", "stop", spec("motor", dropout_mm=191.1), spec("motor", dropout_mm=191), 191.1, 191),
    Row("hub-width", "note", spec("motor", dropout_mm=188.9), spec("motor", dropout_mm=189), 188.9, 189),
    Row(
        "hub-axle",
        "stop",
        spec("motor", axle_flats_mm=12.1),
        spec("motor", axle_flats_mm=12),
        12.1,
        12,
        spec("torque arms", purpose="bracket"),
    ),
    Row(
        "hub-axle",
        "check",
        spec("motor", axle_flats_mm=11.4),
        spec("motor", axle_flats_mm=11.5),
        11.4,
        11.5,
        spec("torque arms", purpose="bracket"),
    ),
    Row(
        "hub-brake-side",
        "stop",
        lambda b: b.given(brake_side="left"),
        lambda b: b.given(brake_side="left").plus(
            "caliper", "brake", end="rear", side="right", rated_mass_kg=400, mass_kg=2
        ),
    ),
    Row("hub-rim", "stop", spec("motor", wheel_inch=18), spec("motor", wheel_inch=17)),
    Row("hub-rim", "check", lambda b: b.given(rear_rim_inch=18), None, None, None, lambda b: b.without("tire")),
    Row("hub-torque-arms", "stop", lambda b: b.without("torque arms")),
    Row(
        "hub-torque-arms",
        "check",
        lambda b: b.line("torque arms", quantity=Decimal(1)),
        lambda b: b.line("torque arms", quantity=Decimal(2)),
    ),
    Row(
        "torque-arm-strength", "stop", spec("torque arms", torque_nm=199), spec("torque arms", torque_nm=200), 199, 200
    ),
    Row("mid-motor-without-chain", "stop", lambda b: b.without("chain"), sound=mid),
    Row("motor-sprocket", "stop", spec("chain", motor_teeth=19), spec("chain", motor_teeth=18), 19, 18, mid),
    Row("motor-sprocket", "stop", spec("chain", motor_teeth=10), spec("chain", motor_teeth=11), 10, 11, mid),
    Row("chain-pitch-motor", "stop", spec("chain", chain_pitch="428"), spec("chain", chain_pitch="520"), sound=mid),
    Row(
        "chain-pitch-donor",
        "check",
        spec("chain", chain_pitch="428", wheel_teeth=None),
        spec("chain", chain_pitch="428", wheel_teeth=60),
        sound=mid,
    ),
    Row(
        "motor-speed-at-top",
        "check",
        says("ride", motor_rpm_at_top=1301.0),
        says("ride", motor_rpm_at_top=1300.0),
        1301,
        1300,
    ),
    Row("wheel-tire-rim", "stop", spec("rear wheel", rim_inch=18), spec("rear wheel", rim_inch=17), sound=wheeled),
    # 0.45 × 100 mm = 45 mm = 1.7717 inch; 0.85 × 130 mm = 110.5 mm = 4.3504 inch
    Row(
        "wheel-tire-width",
        "check",
        spec("front wheel", rim_width_inch=1.77),
        spec("front wheel", rim_width_inch=45 / 25.4),
        1.77 * 25.4,
        45,
        wheeled,
    ),
    Row(
        "wheel-tire-width",
        "check",
        spec("rear wheel", rim_width_inch=4.4),
        spec("rear wheel", rim_width_inch=110.5 / 25.4),
        4.4 * 25.4,
        110.5,
        wheeled,
    ),
    Row(
        "wheel-load",
        "stop",
        says("weight", rear_laden_kg=230.1),
        says("weight", rear_laden_kg=230.0),
        230.1,
        230,
        wheeled,
    ),
    Row(
        "wheel-width",
        "stop",
        spec("rear wheel", spacing_mm=191.1),
        spec("rear wheel", spacing_mm=191),
        191.1,
        191,
        wheeled,
    ),
    Row(
        "wheel-width",
        "note",
        spec("rear wheel", spacing_mm=188.9),
        spec("rear wheel", spacing_mm=189),
        188.9,
        189,
        wheeled,
    ),
    Row("wheel-axle", "stop", spec("rear wheel", axle_mm=12.6), spec("rear wheel", axle_mm=12.5), 0.6, 0.5, wheeled),
    Row("wheel-axle", "stop", spec("rear wheel", axle_mm=11.4), spec("rear wheel", axle_mm=11.5), 0.6, 0.5, wheeled),
    Row(
        "wheel-beside-hub-motor",
        "check",
        lambda b: b.plus("rear wheel", "wheel", **REAR_WHEEL),
        lambda b: b.plus("front wheel", "wheel", **FRONT_WHEEL),
    ),
    Row(
        "brake-kind-differs",
        "check",
        lambda b: b.plus("front brake", "brake", **DRUM),
        lambda b: b.plus("front brake", "brake", **{**DRUM, "brake_kind": "disc"}),
    ),
    # with its wheel, or in a hub motor, the new kind has where to go
    Row(
        "brake-kind-differs",
        "check",
        lambda b: b.mid().plus("rear brake", "brake", **{**DRUM, "end": "rear"}),
        lambda b: b.plus("rear brake", "brake", **{**DRUM, "end": "rear"}),
    ),
    Row(
        "brake-kind-differs",
        "check",
        lambda b: b.plus("front brake", "brake", **DRUM).plus("rear wheel", "wheel", **REAR_WHEEL),
        lambda b: b.plus("front brake", "brake", **DRUM).plus("front wheel", "wheel", **FRONT_WHEEL),
    ),
    Row("gross-weight", "stop", says("weight", laden_kg=370.1), says("weight", laden_kg=370.0), 370.1, 370),
    # 370 kg − 68.0389 kg = 301.9611 kg (150 lb a seat, 49 CFR 567.4)
    Row(
        "payload-under-seats",
        "stop",
        says("weight", after_kg=302.0, laden_kg=360.0),
        says("weight", after_kg=301.9611, laden_kg=360.0),
        68.0,
        68.0389,
    ),
    Row(
        "front-axle-rating",
        "stop",
        says("weight", front_laden_kg=150.1),
        says("weight", front_laden_kg=150.0),
        150.1,
        150,
    ),
    Row(
        "rear-axle-rating", "stop", says("weight", rear_laden_kg=230.1), says("weight", rear_laden_kg=230.0), 230.1, 230
    ),
    Row("tire-load", "stop", says("weight", rear_laden_kg=272.1), says("weight", rear_laden_kg=272.0), 272.1, 272),
    Row("tire-speed", "stop", says("ride", top_kmh=210.1), says("ride", top_kmh=210.0), 210.1, 210),
    # load index 63 is 272 kg (ETRTO); speed symbol P is 150 km/h
    Row(
        "kept-tire-load",
        "stop",
        says("weight", rear_laden_kg=272.1),
        says("weight", rear_laden_kg=272.0),
        272.1,
        272,
        kept,
    ),
    Row("kept-tire-speed", "stop", says("ride", top_kmh=150.1), says("ride", top_kmh=150.0), 150.1, 150, kept),
    # 100/200 = 50 % before; 90/200 = 45 % after is 5 points, 89.8/200 = 44.9 %
    Row(
        "front-share-shift",
        "check",
        says("weight", front_before_kg=100.0, before_kg=200.0, front_after_kg=89.8, after_kg=200.0),
        says("weight", front_before_kg=100.0, before_kg=200.0, front_after_kg=90.0, after_kg=200.0),
        5.1,
        5,
    ),
    Row(
        "brakes-and-weight",
        "stop",
        lambda b: heavier(b, laden_kg=380.1),
        lambda b: heavier(b, laden_kg=380.0),
        380.1,
        380,
    ),
    Row(
        "brakes-and-weight",
        "check",
        lambda b: heavier(b.given(brake_rated_kg=None)),
        lambda b: heavier(b.given(brake_rated_kg=None), after_kg=190.0),
    ),
    # A new front brake says nothing of the rear one that stays.
    Row(
        "brakes-and-weight",
        "check",
        lambda b: heavier(b.given(brake_rated_kg=None).plus("front", "brake", end="front", rated_mass_kg=420)),
        lambda b: heavier(
            b.given(brake_rated_kg=None)
            .plus("front", "brake", end="front", rated_mass_kg=420)
            .plus("rear", "brake", end="rear", rated_mass_kg=420)
        ),
    ),
]
