"""The parts on offer, read once, and options made of them: partial ones to ask single rules, whole ones for quote()."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from quoting.errors import SpecError
from quoting.finder.lean import lean_pack
from quoting.finder.question import Choice, FinderRequest, Slot, Store
from quoting.finder.scopes import PARALLEL, SERIES, STORE
from quoting.parts import Cell, Enclosure, Module, Part, part_from_spec
from quoting.request import Option, PackPlan, PartLine
from quoting.result import PackFigures
from quoting.rules.fitting import bare_pack
from quoting.setup import Fitted, Setup, setup_of
from quoting.weight.items import added_items

# What no pack can be worked out without. The names are those of the specs.
STORE_NEEDS = ("chemistry", "nominal_v", "full_v", "empty_v", "capacity_ah", "resistance_mohm", "mass_kg")
Chosen = Mapping[str, int]  # slot name -> index of its choice; store, series and parallel by their column names


@dataclass(frozen=True)
class Bench:
    """The question with its parts read.

    `stores` cells and modules, `offers` their prices; `kept` what stays on every set; `left_out` code and why.
    """

    question: FinderRequest
    slots: tuple[Slot, ...]
    fitted: Mapping[str, tuple[tuple[Fitted[Part], ...], ...]]
    stores: tuple[Fitted[Cell] | Fitted[Module], ...]
    offers: tuple[Store, ...]
    kept: Setup
    left_out: tuple[tuple[str, str], ...]

    def setup(self, chosen: Chosen, *, on_donor: bool = True) -> Setup:
        """An option of the choices named, whole or not; without the donor where bays and weights do not matter."""
        fitted = [*self.kept.fitted]
        for slot in self.slots:
            if slot.name in chosen:
                fitted.extend(self.fitted[slot.name][chosen[slot.name]])
        plan = None
        if STORE in chosen:
            series, parallel = chosen.get(SERIES, 1), chosen.get(PARALLEL, 1)
            plan = self.plan(series, parallel)
            store = self.stores[chosen[STORE]]
            fitted.append(Fitted(self.offers[chosen[STORE]].at(series * parallel), store.part))
        option = replace(self.question.frame, parts=tuple(item.line for item in fitted), pack=plan)
        donor = self.kept.donor if on_donor else None
        return replace(self.kept, option=option, donor=donor, fitted=tuple(fitted))

    def light(self, chosen: Chosen) -> Setup:
        """The parts of the choices named, without plan or lines: what a rule on parts reads, quickly."""
        fitted = [*self.kept.fitted]
        for slot in self.slots:
            if slot.name in chosen:
                fitted.extend(self.fitted[slot.name][chosen[slot.name]])
        if STORE in chosen:
            store = self.stores[chosen[STORE]]
            fitted.append(Fitted(store.line, store.part))
        return replace(self.kept, fitted=tuple(fitted))

    def option(self, chosen: Chosen) -> Option:
        """The frame filled with a whole set."""
        return self.setup(chosen).option

    def plan(self, series: int, parallel: int) -> PackPlan:
        """The frame's pack plan with other counts."""
        frame = self.question.frame.pack or PackPlan(series=1, parallel=1)
        return replace(frame, series=series, parallel=parallel)

    def pack(self, chosen: Chosen) -> PackFigures | None:
        """The engine's pack figures of a partial option, its place in the bike left aside."""
        return lean_pack(self.setup(chosen, on_donor=False))

    def bare(self, chosen: Chosen) -> PackFigures | None:
        """The same without load: its voltages, capacity and resistance, as the engine sums them."""
        return bare_pack(self.setup(chosen, on_donor=False))

    def codes(self, chosen: Chosen) -> tuple[str, ...]:
        """Component code of every slot, "" where it stays empty."""
        return tuple(" + ".join(slot.choices[chosen[slot.name]].codes) for slot in self.slots)


def bench_of(question: FinderRequest) -> Bench:
    """Read every part on offer. What cannot be read or weighed is left out and said. Raises: RequestError for kept
    lines that cannot be read.
    """
    kept_option = replace(question.frame, pack=None)
    kept = setup_of(question.request, kept_option)
    left_out: dict[str, str] = {}
    slots, fitted = [], {}
    for slot in question.slots:
        read = [(choice, _read(kept, choice, left_out)) for choice in slot.choices]
        good = [(choice, items) for choice, items in read if items is not None]
        slots.append(replace(slot, choices=tuple(choice for choice, _ in good)))
        fitted[slot.name] = tuple(items for _, items in good)
    read_stores = [(store, _read_store(store.line, left_out)) for store in question.stores]
    stores = [(store, item) for store, item in read_stores if item is not None]
    return Bench(
        question,
        tuple(slots),
        fitted,
        tuple(item for _, item in stores),
        tuple(store for store, _ in stores),
        kept,
        tuple(left_out.items()),
    )


def added_kg(kept: Setup, fitted: tuple[Fitted[Part], ...]) -> float | None:
    """Mass that parts outside the cells add [kg], pack boxes among them; None when one of them is not known."""
    boxes = [item for item in fitted if isinstance(item.part, Enclosure)]
    masses = [None if box.part.mass_kg is None else float(box.line.quantity) * box.part.mass_kg for box in boxes]
    if kept.donor is not None:
        masses += [item.mass_kg for item in added_items(replace(kept, fitted=fitted), kept.donor, None)]
    return None if None in masses else sum(mass or 0.0 for mass in masses)


def _read(kept: Setup, choice: Choice, left_out: dict[str, str]) -> tuple[Fitted[Part], ...] | None:
    items: list[Fitted[Part]] = []
    for line in choice.lines:
        try:
            part = part_from_spec(line.kind, line.spec)
        except SpecError as error:
            left_out[line.code] = f"its spec cannot be read: {error}"
            return None
        items.append(Fitted(line, part))
        if added_kg(kept, (items[-1],)) is None:
            left_out[line.code] = "its mass is not known"
            return None
    return tuple(items)


def _read_store(line: PartLine, left_out: dict[str, str]) -> Fitted[Cell] | Fitted[Module] | None:
    try:
        part = part_from_spec(line.kind, line.spec)
    except SpecError as error:
        left_out[line.code] = f"its spec cannot be read: {error}"
        return None
    lacks = [name for name in STORE_NEEDS if getattr(part, name) is None]
    if isinstance(part, Module) and not part.cells_in_series:
        lacks.append("cells_in_series")
    if lacks:
        left_out[line.code] = f"not known: {', '.join(lacks)}"
        return None
    if isinstance(part, Cell):
        return Fitted(line, part)
    return Fitted(line, part) if isinstance(part, Module) else None
