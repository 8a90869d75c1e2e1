"""Components and what suppliers ask for them: one at a time from the form, many at once from a file."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import TypedDict, Unpack

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction

from shop.importing.plan import ADDED, CHANGED, ImportPlan, RowPlan, plan_import
from shop.models import Component, Offer, Supplier
from shop.selectors.shop import shop_today
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.line_lock import line_lock


class ComponentValues(TypedDict, total=False):
    """`spec` holds every field of the kind that is known; `kind` and `code` only when it is added."""

    code: str
    kind: str
    name: str
    spec: Mapping[str, object]
    list_price: Decimal | None
    markup_rate: Decimal
    tax_class: str
    x_m: float | None
    shelf: str
    keep_on_shelf: Decimal
    discontinued: bool
    needs_serial: bool | None
    notes: str


class OfferValues(TypedDict, total=False):
    supplier_code: str
    unit_cost: Decimal
    freight_share: Decimal
    duty_rate: Decimal
    priced_on: date
    lead_low_days: int | None
    lead_days: int | None
    lead_high_days: int | None
    least_quantity: Decimal
    pack_quantity: Decimal
    preferred: bool


@transaction.atomic
def component_save(
    *, person: User | None, component: Component | None = None, **values: Unpack[ComponentValues]
) -> Component:
    """Add a component, or change the values given. Raises ValidationError by field."""
    row = Component.objects.select_for_update().get(pk=component.pk) if component else Component()
    if component is not None and values.get("kind", row.kind) != row.kind:
        raise ValidationError({"kind": "A component stays what it is. Add another with its own code."})
    before = {name: getattr(row, name) for name in values}
    for name, value in values.items():
        if name not in ComponentValues.__annotations__:
            raise TypeError(f"component_save: no value is called {name}")
        setattr(row, name, dict(values["spec"]) if name == "spec" else value)
    row.full_clean()
    changed = [name for name in values if before[name] != getattr(row, name)]
    if component is not None and not changed:
        return row
    row.save()
    if "discontinued" in changed:
        _plan_moves()
    verb = "component changed" if component else "component added"
    _event(person, verb, row.code, ", ".join(name.replace("_", " ") for name in changed))
    return row


@transaction.atomic
def offer_save(
    *, person: User | None, component: Component, supplier: Supplier, **values: Unpack[OfferValues]
) -> Offer:
    """A supplier's price and lead time, added or changed. The first one of a component is preferred."""
    rows = {offer.supplier_id: offer for offer in Offer.objects.select_for_update().filter(component=component)}
    row = rows.get(supplier.pk) or Offer(component=component, supplier=supplier, preferred=not rows)
    before = "" if row.pk is None else _offer_said(row)
    for name, value in values.items():
        if name not in OfferValues.__annotations__:
            raise TypeError(f"offer_save: no value is called {name}")
        setattr(row, name, value)
    others = [offer for offer in rows.values() if offer.pk != row.pk and offer.preferred]
    if not row.preferred and not others:
        row.preferred = True
    row.full_clean(exclude=["component", "supplier"], validate_constraints=False)
    if row.preferred and others:
        _yield_preference(component, row)
    if _offer_said(row) != before:
        row.save()
        _plan_moves()
        _event(person, "price entered", component.code, _offer_said(row), before=before)
    return row


@transaction.atomic
def offer_remove(*, person: User | None, offer: Offer) -> Component:
    """Take an offer away; the cheapest of those left becomes the preferred one. Safe to repeat."""
    row = Offer.objects.select_related("component", "supplier").filter(pk=offer.pk).first()
    if row is not None:
        component, said = row.component, _offer_said(row)
        row.delete()
        left = component.offers.order_by("unit_cost").first()
        if left is not None and not component.offers.filter(preferred=True).exists():
            left.preferred = True
            left.save(update_fields=["preferred"])
        _plan_moves()
        _event(person, "price removed", component.code, "", before=said)
    return offer.component


@transaction.atomic
def component_import(
    *, content: bytes, filename: str, person: User | None, day: date | None = None, shown: str = ""
) -> ImportPlan:
    """Add and change components and their suppliers' offers by a CSV or XLSX file, all of it or nothing.

    `shown` is the fingerprint of the plan a person has looked at: when the catalogue has changed since, it is refused.
    The same file again changes nothing. Raises FileError, or Refused with the first problems.
    """
    plan = plan_import(content, filename, day or shop_today())
    if shown and shown != plan.fingerprint:
        raise Refused("The catalogue has changed since this was shown. Look the file over again.")
    if plan.problems:
        more = f" And {len(plan.problems) - 1} more." if len(plan.problems) > 1 else ""
        raise Refused(f"Nothing was changed. {plan.problems[0]}{more}")
    for row in plan.rows:
        if row.state in (ADDED, CHANGED):
            _apply(row, person)
    if plan.added or plan.changed:
        _plan_moves()
        said = f"{plan.added} added, {plan.changed} changed, {plan.unchanged} unchanged"
        event_write(person=person, verb="components imported", subject="catalogue", after=f"{filename}: {said}")
    return plan


def _apply(row: RowPlan, person: User | None) -> None:
    row.component.save()
    if row.offer is not None:
        row.offer.component = row.component
        if row.takes_preference:
            _yield_preference(row.component, row.offer)
        row.offer.save()
    verb = "component changed" if row.state == CHANGED else "component added"
    _event(person, verb, row.component.code, "; ".join(map(str, row.differences)) or row.component.name)


def _yield_preference(component: Component, to: Offer) -> None:
    component.offers.filter(preferred=True).exclude(pk=to.pk).update(preferred=False)


def _event(person: User | None, verb: str, code: str, after: str, *, before: str = "") -> None:
    event_write(person=person, verb=verb, subject=f"component {code}", before=before, after=after)


def _offer_said(offer: Offer) -> str:
    """Every value of an offer in words: two offers that read the same are the same."""
    lead = (offer.lead_low_days, offer.lead_days, offer.lead_high_days)
    days = "/".join("?" if value is None else str(value) for value in lead)
    figures = (offer.unit_cost, offer.freight_share, offer.duty_rate, offer.least_quantity, offer.pack_quantity)
    cost, freight, duty, least, pack = (f"{figure.normalize():f}" for figure in figures)
    code = f" as {offer.supplier_code}" if offer.supplier_code else ""
    preferred = ", preferred" if offer.preferred else ""
    return (
        f"{offer.supplier}{code}: {cost} of {offer.priced_on}, freight {freight}, duty {duty}, {days} days, "
        f"least {least}, packs of {pack}{preferred}"
    )


def _plan_moves() -> None:
    """Lead times and what is still made decide finish dates: plans worked out before are of an older revision."""
    with line_lock():
        pass
