"""What goes into the frame: adapters for the family, chain drives, boxes in the bays."""

from __future__ import annotations

from quoting.parts import Adapter, Enclosure, Motor, Part
from quoting.request import Bay
from quoting.result import BayFit
from quoting.rules.facts import Facts
from quoting.rules.registry import rule
from quoting.rules.said import Lacks, Said, Says, at_most, plainly
from quoting.rules.ways_out import act, exchange, parallel_at_most
from quoting.setup import Fitted
from quoting.show import show_length

BOXED = ("charger", "dcdc", "bms", "contactor", "controller")


def is_mid(facts: Facts, item: Fitted[Part] | None) -> bool:
    """Where the motor on the option is a mid motor."""
    motor = facts.setup.one(Motor)
    return motor is not None and motor.part.mount == "mid"


@rule(
    "stressed-frame-adapter",
    "frame",
    title="Engine carried the frame, and nothing takes its place",
    levels=("stop",),
    reads=("donor.frame_kind", "donor.family"),
    when=("motor",),
    about=("adapter",),
    jobs=("conversion",),
    may_read=("adapter.families", "adapter.purpose"),
    source="a stressed engine is part of the frame; common practice, no source; a competent engineer signs it",
)
def stressed_frame_adapter(facts: Facts, frame_kind: str, family: str) -> Says:
    """A frame whose engine is a stressed member gets a structural adapter made for its family."""
    if frame_kind != "stressed":
        return None
    adapters = facts.setup.all(Adapter)
    structural = [adapter for adapter in adapters if adapter.part.purpose == "structural"]
    if any(family in (adapter.part.families or ()) for adapter in structural):
        return None
    if unsaid := _unsaid(adapters):
        return unsaid
    other = f" {structural[0].line.name} is not listed for it." if structural else ""
    text = f"In {family} the engine is part of the frame. Without a structural adapter for it the frame folds.{other}"
    return plainly(
        "stop",
        text,
        exchange("adapter"),
        act("Design one for this family, with drawing, calculation and signed release"),
    )


def _unsaid(adapters: tuple[Fitted[Adapter], ...]) -> Lacks | None:
    """What an adapter that may be the one wanted does not say: its purpose, or the families it is for."""
    for adapter in adapters:
        if adapter.part.purpose is None:
            return Lacks("adapter", "purpose", adapter)
        if adapter.part.purpose in ("motor mount", "structural") and adapter.part.families is None:
            return Lacks("adapter", "families", adapter)
    return None


@rule(
    "mid-motor-mount",
    "frame",
    title="No mount for the motor in this frame",
    levels=("check",),
    when=("motor",),
    reads=("donor.family",),
    where=is_mid,
    about=("adapter",),
    jobs=("conversion",),
    may_read=("adapter.families", "adapter.purpose", "motor.mount"),
    source="common practice, no source",
)
def mid_motor_mount(facts: Facts, family: str) -> Says:
    """A mid motor has a mount or structural adapter on the quote that is made for the family."""
    adapters = facts.setup.all(Adapter)
    for adapter in adapters:
        if adapter.part.purpose in ("motor mount", "structural") and family in (adapter.part.families or ()):
            return None
    if unsaid := _unsaid(adapters):
        return unsaid
    text = f"No motor mount for {family} is on the quote. Are the hours to make one?"
    return plainly("check", text, exchange("adapter"), act("Add a step with the hours to design and make the mount"))


@rule(
    "pack-does-not-fit",
    "frame",
    title="Cells do not fit the bays",
    levels=("stop",),
    reads=("pack.cells", "pack.fit", "donor.family"),
    when=("cell",),
    source="whole layers, square or hexagonal, in the bay's inside size; see the pack's working; public practitioner "
    "report, case B45",
)
def pack_does_not_fit(facts: Facts, cells: int, fit: tuple[BayFit, ...], family: str) -> Says:
    """The bays or pack boxes hold all cells of the pack."""
    if not fit:
        return Lacks("pack", "fit")
    room = sum(bay.capacity for bay in fit)
    if cells <= room:
        return None
    places = ", ".join(f"{bay.bay} {bay.capacity}" for bay in fit)
    text = f"The pack has {cells} cells or modules; there is room for {room} ({places})."
    fewer = parallel_at_most(room // facts.pack.series if facts.pack and facts.pack.series else 0)
    return at_most("stop", text, cells, room, "pieces", fewer, exchange("cell"), act("Use another bay as well"))


@rule(
    "box-has-no-place",
    "frame",
    title="A box has no place in the bays",
    levels=("stop",),
    reads=("pack.unplaced", "pack.fit", "donor.bays"),
    about=BOXED,
    where=lambda facts, item: facts.pack is not None and bool(facts.pack.fit),
    may_read=(
        "bms.height_mm",
        "bms.length_mm",
        "bms.width_mm",
        "charger.height_mm",
        "charger.length_mm",
        "charger.width_mm",
        "contactor.height_mm",
        "contactor.length_mm",
        "contactor.width_mm",
        "controller.height_mm",
        "controller.length_mm",
        "controller.width_mm",
        "dcdc.height_mm",
        "dcdc.length_mm",
        "dcdc.width_mm",
    ),
    source="boxes placed largest first in what the cells leave; see the pack's working",
)
def box_has_no_place(facts: Facts, unplaced: tuple[str, ...], fit: tuple[BayFit, ...], bays: tuple[Bay, ...]) -> Says:
    """Pack box, charger, DC-DC converter, battery management, contactor and controller find a place in the bays."""
    if not bays:
        return Lacks("donor", "bays")
    sizeless = tuple(
        Lacks(kind, field, item)
        for kind in BOXED
        for item in facts.of(kind)
        for field in ("length_mm", "width_mm", "height_mm")
        if getattr(item.part, field) is None
    )
    cells = facts.pack.cells if facts.pack else 0
    cells_left = f"{cells - sum(bay.used for bay in fit)} of {cells} "  # said by pack-does-not-fit
    texts = [text for text in unplaced if not text.startswith(cells_left)]
    said = (plainly("stop", " ".join(texts), act("Use fewer cells, a smaller part or another bay")),) if texts else ()
    return (*said, *sizeless)


@rule(
    "enclosure-in-bay",
    "frame",
    title="Pack box does not go into a bay",
    levels=("stop",),
    reads=("enclosure.length_mm", "enclosure.width_mm", "enclosure.height_mm", "donor.bays"),
    each="enclosure",
    where=lambda facts, item: facts.setup.donor is not None and bool(facts.setup.donor.bays),
    source="outside size against the bay's inside size, turned any way; public practitioner report, case B45",
)
def enclosure_in_bay(
    facts: Facts, item: Fitted[Enclosure], length_mm: float, width_mm: float, height_mm: float, bays: tuple[Bay, ...]
) -> Says:
    """Every pack box goes into one of the donor's bays, turned any way."""
    box = sorted((length_mm, width_mm, height_mm))
    spare = {bay.name: _spare_mm(box, bay) for bay in bays}
    best = max(spare, key=lambda name: spare[name])
    if spare[best] >= 0:
        return None
    units = facts.setup.units
    size = " × ".join(show_length(side, units) for side in (length_mm, width_mm, height_mm))
    text = f"{item.line.name} is {size}; in the bay {best} it is {show_length(-spare[best], units)} too large one way."
    return Said(
        "stop", text, None, None, spare[best], "mm", (exchange("enclosure"), act("Have a box made for the bay"))
    )


def _spare_mm(box: list[float], bay: Bay) -> float:
    """What is left in the tightest direction, box and bay both sorted by size; negative when too large."""
    sides = sorted((bay.length_mm, bay.width_mm, bay.height_mm))
    return min(side - edge for side, edge in zip(sides, box, strict=True))


@rule(
    "enclosure-not-sealed",
    "frame",
    title="Pack box is not sealed against water",
    levels=("check",),
    reads=("enclosure.sealed",),
    each="enclosure",
    source="IP65 or better with a vent; common practice, no source",
)
def enclosure_not_sealed(facts: Facts, item: Fitted[Enclosure], sealed: bool) -> Says:
    """Every pack box keeps water out."""
    if sealed:
        return None
    text = f"{item.line.name} lets spray in: insulation fails, and wet cells corrode."
    return plainly("check", text, exchange("enclosure"), act("Seal it and fit a vent"))
