"""Parts made for certain frames: adapters, pack boxes, body work and hardware against the donor."""

from __future__ import annotations

from typing import Any

from quoting.parts import Adapter, Bodywork, Enclosure, Hardware
from quoting.rules.facts import Facts
from quoting.rules.registry import rule
from quoting.rules.said import Lacks, Says, plainly
from quoting.rules.ways_out import exchange
from quoting.setup import Fitted

MAKERS_FAMILIES = "the maker's list of frames"


def _made_for(item: Fitted[Any], families: tuple[str, ...] | None, family: str, level: str) -> Says:
    """No list of families means any frame, as the spec's help says."""
    if not families or family in families:
        return None
    text = f"{item.line.name} is made for {', '.join(families)}; the donor is {family}."
    return plainly(level, text, exchange(item.line.kind))


@rule(
    "adapter-family",
    "frame",
    title="Adapter is made for another frame",
    levels=("stop",),
    reads=("donor.family",),
    each="adapter",
    may_read=("adapter.families",),
    source=MAKERS_FAMILIES,
)
def adapter_family(facts: Facts, item: Fitted[Adapter], family: str) -> Says:
    """Every adapter made for certain frames is made for this one; structural ones and mounts say for which."""
    if item.part.families is None and item.part.purpose in ("structural", "motor mount"):
        return Lacks("adapter", "families", item)
    return _made_for(item, item.part.families, family, "stop")


@rule(
    "adapter-frame-kind",
    "frame",
    title="Adapter is made for another kind of frame",
    levels=("stop",),
    reads=("donor.frame_kind",),
    each="adapter",
    may_read=("adapter.frame_kinds",),
    source=MAKERS_FAMILIES,
)
def adapter_frame_kind(facts: Facts, item: Fitted[Adapter], frame_kind: str) -> Says:
    """Every adapter made for certain kinds of frame is made for this one's."""
    kinds = item.part.frame_kinds
    if not kinds or frame_kind in kinds:
        return None
    text = f"{item.line.name} is made for {' and '.join(kinds)} frames; the donor's is {frame_kind}."
    return plainly("stop", text, exchange("adapter"))


@rule(
    "enclosure-family",
    "frame",
    title="Pack box is made for another frame",
    levels=("stop",),
    reads=("donor.family",),
    each="enclosure",
    may_read=("enclosure.families",),
    source=MAKERS_FAMILIES,
)
def enclosure_family(facts: Facts, item: Fitted[Enclosure], family: str) -> Says:
    """Every pack box made for certain frames is made for this one."""
    return _made_for(item, item.part.families, family, "stop")


@rule(
    "bodywork-family",
    "frame",
    title="Body work is made for another frame",
    levels=("check",),
    reads=("donor.family",),
    each="bodywork",
    may_read=("bodywork.families",),
    source=MAKERS_FAMILIES,
)
def bodywork_family(facts: Facts, item: Fitted[Bodywork], family: str) -> Says:
    """All body work made for certain frames is made for this one."""
    return _made_for(item, item.part.families, family, "check")


@rule(
    "hardware-family",
    "frame",
    title="Hardware is made for another frame",
    levels=("check",),
    reads=("donor.family",),
    each="hardware",
    may_read=("hardware.families",),
    source=MAKERS_FAMILIES,
)
def hardware_family(facts: Facts, item: Fitted[Hardware], family: str) -> Says:
    """All hardware made for certain frames is made for this one."""
    return _made_for(item, item.part.families, family, "check")
