"""A draft's option as a question to the finder: what stays on it, and what the catalogue offers for each place."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, Decimal

from quoting.finder import Break, Choice, FinderRequest, Slot, Store
from quoting.parts import KINDS
from quoting.request import Donor, Option, PartLine, QuoteRequest
from shop.models import Component, QuoteVersion, Shop
from shop.selectors.prices import PriceList
from shop.selectors.requests import component_line, quote_request
from shop.selectors.shop import the_shop
from shop.selectors.shop_state import shop_state

STORE_KINDS = ("cell", "module")
# Places that hold exactly one part, in the order a bike is built up.
ONE_OF = ("motor", "controller", "bms", "charger", "dcdc", "contactor", "fuse", "throttle", "enclosure")
# Places that may stay empty where the rest of the set does without.
ONE_OR_NONE = ("precharge", "final_drive")
# Meters of conductor for a cable the option does not have yet: both battery leads, three phase leads. Common practice,
# no source; the counter corrects them on the option.
CABLE_M = {"battery": Decimal("2.4"), "phase": Decimal("3.6")}
TORQUE_ARMS = Decimal(2)  # one each side: public practitioner report, case B22
# Checks no set may raise: a part is missing from the quote, which makes no cheaper build; the pack never fills.
MISSING_PART_RULES = ("incomplete-build",)
NEVER_FILLS_RULE = "charger-end-voltage"
MOUNT_RULE = "mid-motor-mount"
Fits = Callable[[PartLine], bool]


@dataclass(frozen=True)
class Offered:
    """The catalogue as lines, and what the option's own lines say of quantities."""

    lines: tuple[PartLine, ...]
    stores: tuple[Store, ...]
    option: Option

    def of(self, kind: str, fits: Fits = lambda line: True) -> tuple[PartLine, ...]:
        """Lines of a kind that pass a test of their spec."""
        return tuple(line for line in self.lines if line.kind == kind and fits(line))


def finder_question(version: QuoteVersion, key: str) -> FinderRequest:
    """The question of one option of a draft, in a fixed number of queries.

    Lines of kinds that are not chosen by the finder stay on every set: lamps, display, brakes, body work, connectors.
    """
    shop = the_shop()
    asked = quote_request(version, shop=shop, with_catalogue=False)
    option = next(each for each in asked.options if each.key == key)
    request = replace(asked, options=(option,), shop=shop_state(now=asked.now, shop=shop), catalogue=())
    offered = _catalogue(shop, asked, option)
    slots = _slots(offered, request.donor)
    chosen_kinds = {*STORE_KINDS, *(kind for slot in slots for kind in slot.kinds)}
    kept = tuple(line for line in option.parts if not _chosen(line, chosen_kinds))
    mounts = _mounts(offered, request.donor)
    return FinderRequest(
        request=replace(request, options=(replace(option, parts=kept),)),
        slots=slots,
        stores=offered.stores,
        refused=(NEVER_FILLS_RULE, *_refusable(slots), *((MOUNT_RULE,) if mounts else ())),
    )


def _chosen(line: PartLine, kinds: Iterable[str]) -> bool:
    """Whether a line of the option gives way to the finder's choice; other cables stay, and a front tire."""
    if line.kind == "cable":
        return line.spec.get("circuit") in CABLE_M
    if line.kind == "tire":
        return line.spec.get("end") == "rear"
    return line.kind in kinds


def _catalogue(shop: Shop, asked: QuoteRequest, option: Option) -> Offered:
    """Every priced component that may still be sold, cables as long as they are needed; cells by quantity."""
    prices = PriceList(shop, asked.day)
    lines, stores = [], []
    for component in Component.objects.filter(discontinued=False).order_by("kind", "code"):
        quantity, conductors = _amount(component, option)
        price = prices.price(component, quantity=quantity)
        if price.unit_price is None:
            continue
        line = component_line(component, price, prices, quantity=quantity, conductors=conductors)
        if component.kind in STORE_KINDS:
            stores.append(Store(line=line, breaks=_breaks(component, prices)))
        else:
            lines.append(line)
    return Offered(tuple(lines), tuple(stores), option)


def _amount(component: Component, option: Option) -> tuple[Decimal, int]:
    """How much of a component a set takes, and its conductors side by side; cables as long as those on the option."""
    circuit = component.spec.get("circuit")
    if component.kind == "cable" and circuit in CABLE_M:
        for line in option.parts:
            if line.kind == "cable" and line.spec.get("circuit") == circuit:
                return line.quantity, line.conductors
        return CABLE_M[circuit], 1
    if component.kind == "adapter" and component.spec.get("purpose") == "axle":
        return TORQUE_ARMS, 1
    return Decimal(1), 1


def _breaks(component: Component, prices: PriceList) -> tuple[Break, ...]:
    """The quantities from which a component's price changes; none where its list price holds for any."""
    offer = prices.offers.get(component.pk)
    found = []
    for step in offer.breaks.all() if offer else ():
        price = prices.price(component, quantity=step.from_quantity)
        if price.unit_price is not None:
            start = int(step.from_quantity.to_integral_value(rounding=ROUND_CEILING))
            found.append(Break(from_quantity=start, unit_price=price.unit_price, unit_cost=price.unit_cost))
    return tuple(sorted(found, key=lambda each: each.from_quantity))


def _slots(offered: Offered, donor: Donor | None) -> tuple[Slot, ...]:
    """Places the catalogue has something for; a place it has nothing for is left to the rules to miss."""
    slots = [_slot(KINDS[kind].label, offered.of(kind)) for kind in ONE_OF]
    slots += [_slot(KINDS[kind].label, offered.of(kind), may_be_empty=True) for kind in ONE_OR_NONE]
    for circuit in CABLE_M:
        cables = tuple(line for line in offered.of("cable") if line.spec.get("circuit") == circuit)
        slots.append(_slot(f"{circuit.capitalize()} cable", cables))
    arms = offered.of("adapter", lambda line: line.spec.get("purpose") == "axle" and _for_family(line, donor))
    slots.append(_slot("Torque arms", arms, may_be_empty=True))
    slots.append(_slot("Mount", _mounts(offered, donor), may_be_empty=True))
    slots.append(_slot("Rear tire", _rear_tires(offered, donor), may_be_empty=True))
    if not any(line.kind == "switch" for line in offered.option.parts):
        slots.append(_slot(KINDS["switch"].label, offered.of("switch")))
    return tuple(slot for slot in slots if slot.kinds)


def _slot(name: str, lines: tuple[PartLine, ...], *, may_be_empty: bool = False) -> Slot:
    empty = (Choice(),) if may_be_empty else ()
    return Slot(name=name, choices=(*empty, *(Choice(lines=(line,)) for line in lines)))


def _mounts(offered: Offered, donor: Donor | None) -> tuple[PartLine, ...]:
    """Motor mounts and structural adapters made for the donor's family."""
    purposes = ("motor mount", "structural")
    return offered.of("adapter", lambda line: line.spec.get("purpose") in purposes and _for_family(line, donor))


def _rear_tires(offered: Offered, donor: Donor | None) -> tuple[PartLine, ...]:
    """The option's own rear tire, else those of the donor's width, else all: a hub motor may bring another rim."""
    rear = offered.of("tire", lambda line: line.spec.get("end") == "rear")
    own = {line.code for line in offered.option.parts}
    if kept := tuple(line for line in rear if line.code in own):
        return kept
    width = (donor.rear_tire or "").split("/")[0] if donor else ""
    return tuple(line for line in rear if width and str(line.spec.get("marking", "")).startswith(f"{width}/")) or rear


def _for_family(line: PartLine, donor: Donor | None) -> bool:
    families = line.spec.get("families")
    return donor is not None and isinstance(families, (list, tuple)) and donor.family in families


def _refusable(slots: tuple[Slot, ...]) -> tuple[str, ...]:
    """Rules on missing parts, where the catalogue could fill the place."""
    kinds = {kind for slot in slots for kind in slot.kinds}
    return MISSING_PART_RULES if {"cable", "enclosure"} <= kinds else ()
