"""What the finder is asked: the quote as it stands, and what may be put in each place on the bike."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from quoting.errors import FieldProblem, RequestError
from quoting.request import Option, PartLine, QuoteRequest

STORES = ("cell", "module")
MOST_SERIES = 120  # counts tried in series at most; the widest range a battery management may state (quoting.parts)
MOST_PARALLEL = 200  # no motorcycle holds more: the same bound as quoting.pack.smallest_parallel
MOST_SHOWN = 60


@dataclass(frozen=True, kw_only=True)
class Choice:
    """One thing a slot may hold: its lines with quantities and prices; no lines where the slot may stay empty."""

    lines: tuple[PartLine, ...] = ()

    @property
    def codes(self) -> tuple[str, ...]:
        """Component codes of its lines."""
        return tuple(line.code for line in self.lines)


@dataclass(frozen=True, kw_only=True)
class Slot:
    """A place that takes exactly one of its choices. `name` in plain words, unique: motor, battery cable ..."""

    name: str
    choices: tuple[Choice, ...]

    @property
    def kinds(self) -> frozenset[str]:
        """The kinds of part its choices bring."""
        return frozenset(line.kind for choice in self.choices for line in choice.lines)


@dataclass(frozen=True, kw_only=True)
class Break:
    """From `from_quantity` on, each piece of the whole line is sold for `unit_price` and costs `unit_cost`."""

    from_quantity: int
    unit_price: Decimal
    unit_cost: Decimal | None = None


@dataclass(frozen=True, kw_only=True)
class Store:
    """Cells or modules on offer: a line, its quantity not read, and lower prices by quantity, rising."""

    line: PartLine
    breaks: tuple[Break, ...] = ()

    def at(self, quantity: int) -> PartLine:
        """The line for so many pieces [-], at their price."""
        line = replace(self.line, quantity=Decimal(quantity))
        reached = [step for step in self.breaks if step.from_quantity <= quantity]
        return replace(line, unit_price=reached[-1].unit_price, unit_cost=reached[-1].unit_cost) if reached else line


@dataclass(frozen=True, kw_only=True)
class FinderRequest:
    """A question to the finder.

    `request` the quote: its one option carries the hours, extras and prices' terms, the lines that stay whatever is
    chosen, and the pack's link resistance and bays (series and parallel of that plan are not read). `slots` what may be
    chosen; `stores` cells and modules on offer, whose quantity becomes series × parallel. `refused`
    ids of rules whose checks count as stops here. `series`, `parallel` least and most of each that is tried [-];
    `shown` sets worked out in full at most [-].
    """

    request: QuoteRequest
    slots: tuple[Slot, ...]
    stores: tuple[Store, ...]
    refused: tuple[str, ...] = ()
    series: tuple[int, int] = (1, MOST_SERIES)
    parallel: tuple[int, int] = (1, MOST_PARALLEL)
    shown: int = 12

    @property
    def frame(self) -> Option:
        """The option everything is put on."""
        return self.request.options[0]


def refuse_unaskable(question: FinderRequest) -> None:
    """Raises RequestError naming every field that no search can start from."""
    problems = [*_frame_problems(question), *_slot_problems(question.slots), *_count_problems(question)]
    problems += [
        FieldProblem(f"stores ({store.line.code})", f"is a {store.line.kind}.", "Give cells or modules.")
        for store in question.stores
        if store.line.kind not in STORES
    ]
    if problems:
        raise RequestError(tuple(problems))


def _frame_problems(question: FinderRequest) -> Iterator[FieldProblem]:
    donor = question.request.donor
    if len(question.request.options) != 1:
        yield FieldProblem("request.options", "must hold one option.", "Give the one to be filled.")
    if donor is None:
        yield FieldProblem("request.donor", "is missing.", "Choose the donor first: the parts must fit it.")
        return
    for name, words in (("kerb_kg", "weight before conversion"), ("removed_kg", "weight of what is removed")):
        if getattr(donor, name) is None:
            yield FieldProblem(f"donor.{name}", "is not known.", f"Enter its {words}: range and speed rest on it.")


def _slot_problems(slots: tuple[Slot, ...]) -> Iterator[FieldProblem]:
    names = [slot.name for slot in slots]
    for number, slot in enumerate(slots, start=1):
        where = f"slots.{number} ({slot.name})"
        if names.count(slot.name) > 1:
            yield FieldProblem(where, "repeats a name.", "Give each slot its own name.")
        if not slot.choices:
            yield FieldProblem(where, "has no choices.", f"Add a priced {slot.name} to the catalogue.")
        if slot.kinds & set(STORES):
            yield FieldProblem(where, "holds cells or modules.", "Give them as stores.")
    for kind in ("motor", "controller"):
        if not any(kind in slot.kinds for slot in slots):
            yield FieldProblem("slots", f"have no {kind}.", f"Add a priced {kind} to the catalogue.")


def _count_problems(question: FinderRequest) -> Iterator[FieldProblem]:
    if not question.stores:
        yield FieldProblem("stores", "is empty.", "Add cells or battery modules to the catalogue.")
    if not 1 <= question.shown <= MOST_SHOWN:
        yield FieldProblem("shown", f"is {question.shown}.", f"Give 1 to {MOST_SHOWN}.")
    for name, most in (("series", MOST_SERIES), ("parallel", MOST_PARALLEL)):
        least, highest = getattr(question, name)
        if not 1 <= least <= highest <= most:
            yield FieldProblem(name, f"runs from {least} to {highest}.", f"Give two counts from 1 to {most}, rising.")


def raw_count(question: FinderRequest) -> int:
    """Every combination there is before anything is looked at [-]: choices × cells × series × parallel."""
    (least_s, most_s), (least_p, most_p) = question.series, question.parallel
    packs = len(question.stores) * (most_s - least_s + 1) * (most_p - least_p + 1)
    return math.prod(len(slot.choices) for slot in question.slots) * packs
