"""A unit kept for one build handed to another: a person's act, with its reason, after seeing which promises move."""

from __future__ import annotations

from decimal import Decimal

from django.contrib.auth.models import User

from shop.models import Lending, MoveKind, PartNeed
from shop.selectors.balances import issued_by_need, reserved_by_need
from shop.selectors.lending import lending_preview
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.line_lock import line_lock
from shop.services.stock import NONE, balance_guard, move_write, quantity_guard, reason_guard, stock_allot
from shop.services.units import choices_drop


def part_lend(
    *,
    lender: PartNeed,
    borrower: PartNeed,
    quantity: Decimal,
    reason: str,
    person: User | None,
    key: str,
    override: str = "",
) -> Lending:
    """Hand units kept for one build to another that is short of them.

    They are the borrower's from then on, whoever stands ahead of it. Refused when a promise breaks by it, unless
    `override` says why it is done all the same. Safe to repeat with the same `key`.
    """
    with line_lock():
        made = Lending.objects.filter(key=key).select_related("lender", "borrower").first()
        if made is not None:
            return made
        giver, taker = _need(lender), _need(borrower)
        reason = reason_guard(reason, "Say why it goes to the other build.")
        quantity_guard(giver.component, quantity)
        _guards(giver, taker, quantity)
        broken = [change for change in lending_preview(giver, taker, quantity).changes if change.breaks]
        if broken and not override.strip():
            named = ", ".join(f"{change.build.number} {change.build.customer.name}" for change in broken)
            raise Refused(
                f"It breaks the promise to {named}. Leave the unit where it is, or say why it goes all the same.",
                "override",
            )
        kept, issued = reserved_by_need([giver.pk, taker.pk]), issued_by_need([giver.pk, taker.pk])
        row = Lending(
            lender=giver,
            borrower=taker,
            quantity=quantity,
            assured=kept.get(taker.pk, NONE) + issued.get(taker.pk, NONE) + quantity,
            reason=reason,
            override=override.strip() if broken else "",
            person=person,
            key=key,
        )
        row.full_clean(exclude=["lender", "borrower", "person"], validate_unique=False)
        row.save(force_insert=True)
        _moves(giver, taker, quantity, reason, person)
        stock_allot(person=person, components=[giver.component], reason=f"Lent: {reason}"[:200])
        balance_guard([giver.component])
        _events(row, giver, taker, person)
    return row


def _guards(giver: PartNeed, taker: PartNeed, quantity: Decimal) -> None:
    if giver.component_id != taker.component_id or giver.pk == taker.pk:
        raise Refused("Choose another build that needs the same part.", "borrower")
    for need in (giver, taker):
        if not need.build.is_open:
            raise Refused(f"{need.build} is {need.build.get_state_display().lower()}.", "borrower")
    kept, issued = reserved_by_need([giver.pk, taker.pk]), issued_by_need([giver.pk, taker.pk])
    there = kept.get(giver.pk, NONE)
    if quantity > there:
        raise Refused(f"{there.normalize():f} are kept for {giver.build}. Hand over at most that.", "quantity")
    short = taker.quantity - kept.get(taker.pk, NONE) - issued.get(taker.pk, NONE)
    if quantity > short:
        raise Refused(f"{taker.build} lacks {max(short, NONE).normalize():f}. Hand over at most that.", "quantity")


def _moves(giver: PartNeed, taker: PartNeed, quantity: Decimal, reason: str, person: User | None) -> None:
    part, to, fro = giver.component, f"To {taker.build}: {reason}"[:200], f"From {giver.build}: {reason}"[:200]
    move_write(component=part, kind=MoveKind.RELEASED, reserved=-quantity, need=giver, reason=to, person=person)
    move_write(component=part, kind=MoveKind.RESERVED, reserved=quantity, need=taker, reason=fro, person=person)
    choices_drop([giver])


def _events(row: Lending, giver: PartNeed, taker: PartNeed, person: User | None) -> None:
    what = f"{row.quantity.normalize():f} × {giver.component.name}"
    said = row.reason if not row.override else f"{row.reason}. Although a promise breaks: {row.override}"
    for need, words in ((giver, f"{what} to {taker.build}"), (taker, f"{what} from {giver.build}")):
        event_write(
            person=person, verb="part lent", subject=need.build.number, build=need.build, after=words, reason=said[:300]
        )


def _need(need: PartNeed) -> PartNeed:
    return PartNeed.objects.select_related("build__customer", "component").get(pk=need.pk)
