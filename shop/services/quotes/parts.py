"""Components on an option of a draft."""

from __future__ import annotations

from decimal import Decimal
from typing import TypedDict, Unpack

from django.contrib.auth.models import User
from django.db import transaction

from quoting.parts import KINDS
from shop.models import Component, OptionPart, QuoteOption
from shop.services.errors import Refused
from shop.services.quotes.draft import draft_edited, locked_draft, still_there
from shop.services.quotes.options import PACK_KINDS

PIECE = "piece"


class PartValues(TypedDict, total=False):
    """`unit_price` None takes the catalogue's price again."""

    quantity: Decimal
    conductors: int
    unit_price: Decimal | None


@transaction.atomic
def part_add(
    *, option: QuoteOption, component: Component, person: User | None, **values: Unpack[PartValues]
) -> OptionPart:
    """Put a component on an option. Cells and modules are counted by the pack plan where there is one."""
    version = locked_draft(option.version)
    _refuse_second(option, component)
    part = OptionPart(option=option, component=component, **values)
    if component.kind in PACK_KINDS:
        part.quantity = _planned(option) or part.quantity
    _checked(part)
    part.full_clean(exclude=["option", "component"])
    part.save()
    draft_edited(version, person, "part added", after=_said(part))
    return part


@transaction.atomic
def part_change(*, part: OptionPart, person: User | None, **values: Unpack[PartValues]) -> OptionPart:
    """Its quantity, how many conductors run side by side, or its price by hand."""
    version = locked_draft(part.option.version)
    row = still_there(part.option, part)
    before = _said(row)
    planned = _planned(row.option) if row.component.kind in PACK_KINDS else None
    if planned is not None and values.get("quantity", planned) != planned:
        raise Refused(
            f"The pack plan counts {row.component.name}: {planned}. Change series or parallel instead.", "quantity"
        )
    for name, value in values.items():
        if name not in PartValues.__annotations__:
            raise TypeError(f"part_change: no value is called {name}")
        setattr(row, name, value)
    _checked(row)
    row.full_clean(exclude=["option", "component"], validate_unique=False)
    row.save(update_fields=list(values))
    draft_edited(version, person, "part changed", before=before, after=_said(row))
    return row


@transaction.atomic
def part_exchange(*, part: OptionPart, component: Component, person: User | None) -> OptionPart:
    """Another component of the same kind in its place: quantity and conductors stay, a price by hand goes."""
    version = locked_draft(part.option.version)
    row = still_there(part.option, part)
    before = _said(row)
    same_role = {row.component.kind, component.kind} <= set(PACK_KINDS) or row.component.kind == component.kind
    if not same_role:
        wanted, got = KINDS[row.component.kind].label, KINDS[component.kind].label
        raise Refused(f"{component.name} is of kind {got}; here stands {wanted}. Choose one of that kind.", "component")
    _refuse_twice(row.option, component, but=row)
    if component.pk != row.component_id:
        row.component, row.unit_price = component, None
    _checked(row)
    row.full_clean(exclude=["option", "component"], validate_unique=False)
    row.save(update_fields=["component", "unit_price"])
    draft_edited(version, person, "part exchanged", before=before, after=_said(row))
    return row


@transaction.atomic
def part_remove(*, part: OptionPart, person: User | None) -> QuoteOption:
    """Take a component off. Safe to repeat: one that is off already stays off."""
    version = locked_draft(part.option.version)
    row = OptionPart.objects.select_related("component", "option").filter(pk=part.pk).first()
    if row is not None:
        before = _said(row)
        row.delete()
        draft_edited(version, person, "part removed", before=before)
    return part.option


def _planned(option: QuoteOption) -> Decimal | None:
    return Decimal(option.series * option.parallel) if option.series and option.parallel else None


def _refuse_second(option: QuoteOption, component: Component) -> None:
    """One of most kinds: the checks look at the first, so a second would go unchecked."""
    _refuse_twice(option, component)
    kind = KINDS[component.kind]
    kinds = PACK_KINDS if component.kind in PACK_KINDS else (component.kind,)
    present = None if kind.several else option.parts.filter(component__kind__in=kinds).first()
    if present is not None:
        raise Refused(
            f"Option {option.key} has {present.component.name} already. Exchange it, or take it off first.", "component"
        )


def _refuse_twice(option: QuoteOption, component: Component, but: OptionPart | None = None) -> None:
    twice = option.parts.filter(component=component)
    if but is not None:
        twice = twice.exclude(pk=but.pk)
    if twice.exists():
        raise Refused(f"{component.name} is on option {option.key} already. Change its quantity.", "component")


def _checked(part: OptionPart) -> None:
    if part.quantity <= 0:
        raise Refused("Enter more than zero, or take the part off.", "quantity")
    if part.component.unit == PIECE and part.quantity != part.quantity.to_integral_value():
        raise Refused(f"{part.component.name} is counted in pieces. Enter a whole number.", "quantity")
    if part.conductors < 1:
        raise Refused("Enter 1 or more conductors.", "conductors")
    if part.unit_price is not None and part.unit_price < 0:
        raise Refused("A price is not negative. Leave it empty for the catalogue's price.", "unit_price")


def _said(part: OptionPart) -> str:
    price = "" if part.unit_price is None else f" at {part.unit_price}"
    return f"{part.option.key}: {part.quantity.normalize():f} × {part.component.code}{price}"
