"""The chain the current passes through, and its weakest link."""

from __future__ import annotations

from dataclasses import dataclass

from quoting.pack.unit import PackUnit
from quoting.parts import Bms, Cable, Connector, Contactor, Controller, Fuse
from quoting.setup import Setup
from quoting.wiring import FUSE_FACTOR, FUSE_TEN_SECOND_FACTOR, TEN_SECOND_ALLOWANCE, legs_of

NO_PEAK = "no peak figure: its continuous one stands in"


@dataclass(frozen=True, kw_only=True)
class Link:
    """One part of the chain: what it carries for good and for 10 s [A], None: not known; and how the two came about."""

    name: str
    cont_a: float | None
    peak_a: float | None
    cont_note: str = ""
    peak_note: str = ""


@dataclass(frozen=True)
class Chain:
    """All links in the order the current takes, and the figures that are not known."""

    links: tuple[Link, ...]
    missing: tuple[str, ...]

    def weakest_cont(self) -> Link | None:
        """The link that limits continuous current; None when the cells' own is not known."""
        return self._weakest("cont_a")

    def weakest_peak(self) -> Link | None:
        """The link that limits current for 10 s; None when the cells' own is not known."""
        return self._weakest("peak_a")

    def _weakest(self, field: str) -> Link | None:
        if not self.links or getattr(self.links[0], field) is None:
            return None
        return min((link for link in self.links if getattr(link, field) is not None), key=lambda x: getattr(x, field))


def current_chain(setup: Setup, unit: PackUnit, parallel: int) -> Chain:
    """Cells × health, BMS, fuse, battery cable, connectors, contactor, controller: what each carries.

    A fuse counts for its rating over 1.25 for good and twice its rating for 10 s; a cable and a contactor for 1.5 times
    their continuous current for 10 s; where a part states no peak figure its continuous one stands in, said in
    `peak_note` and `missing`. Parameters: `parallel` units side by side [-]. Source: case of a shop's pack held back by
    aged cells (public practitioner report, case B6); factors in quoting.wiring.
    """
    links = [_cells(unit, parallel), *_watchers(setup), *_path(setup)]
    missing = [name for link in links for name in _missing_of(link)]
    missing += [name for leg in legs_of(setup.all(Cable), "battery") for name in leg.missing]
    return Chain(tuple(links), tuple(dict.fromkeys(missing)))


def _missing_of(link: Link) -> tuple[str, ...]:
    if link.name == "battery cable":  # its leg names what it lacks
        return ()
    if link.cont_a is None and link.peak_a is None:
        return ("fuse rating",) if link.name == "fuse" else (f"{link.name} continuous current",)
    if link.cont_a is None:
        return (f"{link.name} continuous current",)
    return (f"{link.name} peak current",) if link.peak_note == NO_PEAK else ()


def _link(name: str, cont_a: float | None, peak_a: float | None, note: str = "") -> Link:
    """A link whose peak falls back on its continuous figure."""
    if peak_a is None and cont_a is not None:
        return Link(name=name, cont_a=cont_a, peak_a=cont_a, cont_note=note, peak_note=NO_PEAK)
    return Link(name=name, cont_a=cont_a, peak_a=peak_a, cont_note=note, peak_note=note)


def _cells(unit: PackUnit, parallel: int) -> Link:
    count = parallel * unit.health
    cont_a = None if unit.cont_a is None else count * unit.cont_a
    peak_a = None if unit.peak_a is None else count * unit.peak_a
    return _link(f"{unit.word}s", cont_a, peak_a, "" if unit.health == 1.0 else f"at {unit.health:.0%} health")


def _watchers(setup: Setup) -> list[Link]:
    """BMS and controller: each states both figures."""
    links = [_link("BMS", bms.part.cont_a, bms.part.peak_a) for bms in setup.all(Bms)]
    for controller in setup.all(Controller):
        count = float(controller.line.quantity)
        cont_a, peak_a = controller.part.battery_cont_a, controller.part.battery_peak_a
        links.append(
            _link("controller", None if cont_a is None else cont_a * count, None if peak_a is None else peak_a * count)
        )
    return links


def _path(setup: Setup) -> list[Link]:
    """Fuse, cable, connectors, contactor."""
    connectors = [item.part for item in setup.all(Connector) if item.part.circuit == "battery"]
    return [
        *(_fuse(fuse.part) for fuse in setup.all(Fuse)),
        *(_overloadable("battery cable", leg.ampacity_a) for leg in legs_of(setup.all(Cable), "battery")),
        *(_link("connector", part.cont_a, part.peak_a) for part in connectors),
        *(_overloadable("contactor", contactor.part.cont_a) for contactor in setup.all(Contactor)),
    ]


def _fuse(part: Fuse) -> Link:
    rating_a = part.rating_a
    return Link(
        name="fuse",
        cont_a=None if rating_a is None else rating_a / FUSE_FACTOR,
        peak_a=None if rating_a is None else rating_a * FUSE_TEN_SECOND_FACTOR,
        cont_note=f"its rating over {FUSE_FACTOR:g}",
        peak_note=f"{FUSE_TEN_SECOND_FACTOR:g} times its rating",
    )


def _overloadable(name: str, cont_a: float | None) -> Link:
    peak_a = None if cont_a is None else cont_a * TEN_SECOND_ALLOWANCE
    return Link(
        name=name, cont_a=cont_a, peak_a=peak_a, peak_note=f"{TEN_SECOND_ALLOWANCE:g} times its continuous current"
    )


def charge_chain(setup: Setup, unit: PackUnit, parallel: int) -> Chain:
    """What the pack takes when charged, by cells × health and BMS [A]; `cont_a` carries the figure."""
    cells_a = None if unit.charge_a is None else parallel * unit.health * unit.charge_a
    links = [Link(name=f"{unit.word}s", cont_a=cells_a, peak_a=None)]
    links.extend(Link(name="BMS", cont_a=bms.part.charge_a, peak_a=None) for bms in setup.all(Bms))
    missing = tuple(f"{link.name} charge current" for link in links if link.cont_a is None)
    return Chain(tuple(links), missing)
