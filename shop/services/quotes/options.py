"""Options of a draft: up to three ways to build it, their pack, and what is taken off the price."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from decimal import Decimal
from typing import TypedDict, Unpack

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import CheckConstraint, Q

from quoting.price import percent
from shop.models import OPTION_KEYS, QuoteOption, QuoteVersion
from shop.permissions import OWNER, roles_of
from shop.selectors.routing import routing_for
from shop.selectors.shop import the_shop
from shop.services.errors import Refused
from shop.services.quotes.draft import draft_edited, locked_draft
from shop.services.quotes.routing import steps_load

# A pack is series × parallel of these; their quantity follows the plan.
PACK_KINDS = ("cell", "module")
LINES = ("parts", "steps", "extras", "decisions")


class OptionValues(TypedDict, total=False):
    label: str
    contingency_rate: Decimal
    contingency_in_labor: bool


@transaction.atomic
def option_add(*, version: QuoteVersion, person: User | None, label: str = "") -> QuoteOption:
    """One more option, with the job's steps and the shop's contingency."""
    row = locked_draft(version)
    made = option_made(row, _free_key(row), label=label, contingency_rate=the_shop().contingency_rate)
    draft_edited(row, person, "option added", after=made.key)
    return made


@transaction.atomic
def option_copy(*, option: QuoteOption, person: User | None) -> QuoteOption:
    """One more option, the same as this one."""
    row = locked_draft(option.version)
    made = option_copied(QuoteOption.objects.get(pk=option.pk), row, _free_key(row))
    draft_edited(row, person, "option copied", before=option.key, after=made.key)
    return made


@transaction.atomic
def option_remove(*, option: QuoteOption, person: User | None) -> QuoteVersion:
    """Take an option off; the last one stays."""
    row = locked_draft(option.version)
    if row.options.count() == 1:
        raise Refused("A quote has at least one option. Change this one, or add another first.")
    row.options.filter(pk=option.pk).delete()
    draft_edited(row, person, "option removed", before=option.key)
    return row


@transaction.atomic
def option_change(*, option: QuoteOption, person: User | None, **values: Unpack[OptionValues]) -> QuoteOption:
    """Its name and its contingency, a share of parts and hours from 0 to 1."""
    row = locked_draft(option.version)
    rate = values.get("contingency_rate", Decimal(0))
    if not 0 <= rate <= 1:
        raise Refused("The contingency runs from 0 to 100 %.", "contingency_rate")
    said = ", ".join(f"{name} {value}" for name, value in values.items())
    return _option_saved(option, row, person, "option changed", f"{option.key}: {said}", **values)


@transaction.atomic
def option_set_discount(
    *,
    option: QuoteOption,
    person: User | None,
    rate: Decimal = Decimal(0),
    amount: Decimal = Decimal(0),
    reason: str = "",
) -> QuoteOption:
    """A share of the lines or a fixed amount off, with the reason; both zero takes the discount back.

    More than the shop's limit is the owner's to give: a share is held against it here, an amount when it is offered.
    """
    row = locked_draft(option.version)
    reason = reason.strip()
    if rate and amount:
        raise Refused("Give a share or an amount, not both.", "discount_amount")
    if not 0 <= rate <= 1:
        raise Refused("A discount runs from 0 to 100 %.", "discount_rate")
    if amount < 0:
        raise Refused("A discount is not negative. Enter 0 for none.", "discount_amount")
    if (rate or amount) and not reason:
        raise Refused("Say why: the reason is printed on the quote.", "discount_reason")
    refuse_large_discount(rate, person, "discount_rate")
    said = f"{option.key}: {percent(rate) if rate else amount} {reason}".rstrip()
    return _option_saved(
        option,
        row,
        person,
        "discount set",
        said,
        discount_rate=rate,
        discount_amount=amount,
        discount_reason=reason if rate or amount else "",
    )


def refuse_large_discount(share: Decimal, person: User | None, field: str = "") -> None:
    """Raises Refused when a discount is above the shop's limit and the person is not the owner."""
    limit = the_shop().discount_limit
    if share > limit and not (person and OWNER in roles_of(person)):
        raise Refused(
            f"{percent(share)} off is above the limit of {percent(limit)}. The owner can give it, or lower it.", field
        )


@transaction.atomic
def option_set_allowance(
    *, option: QuoteOption, person: User | None, amount: Decimal = Decimal(0), label: str = ""
) -> QuoteOption:
    """Credit for the old engine or other parts the shop keeps; zero takes it back."""
    row = locked_draft(option.version)
    if amount < 0:
        raise Refused("An allowance is not negative. Enter 0 for none.", "allowance_amount")
    label = label.strip() or ("Allowance for parts kept" if amount else "")
    said = f"{option.key}: {amount} {label}".rstrip()
    values = {"allowance_amount": amount, "allowance_label": label if amount else ""}
    return _option_saved(option, row, person, "allowance set", said, **values)


@transaction.atomic
def pack_plan_set(
    *,
    option: QuoteOption,
    person: User | None,
    series: int | None,
    parallel: int | None,
    link_mohm: float | None = None,
    bay_names: Sequence[str] | None = None,
) -> QuoteOption:
    """How cells or modules are joined; their quantity becomes series × parallel. None for both: no plan.

    `link_mohm` and `bay_names` stay as they are when None.
    """
    row = locked_draft(option.version)
    _refuse_plan(series, parallel, link_mohm)
    values: dict[str, object] = {"series": series, "parallel": parallel}
    if link_mohm is not None:
        values["link_mohm"] = link_mohm
    if bay_names is not None:
        values["bay_names"] = _known_bays(row, bay_names)
    if series and parallel:
        option.parts.filter(component__kind__in=PACK_KINDS).update(quantity=Decimal(series * parallel))
    said = f"{option.key}: {series} in series, {parallel} in parallel" if series else f"{option.key}: none"
    return _option_saved(option, row, person, "pack planned", said, **values)


def option_made(version: QuoteVersion, key: str, *, label: str, contingency_rate: Decimal) -> QuoteOption:
    """A new option with the steps of the quote's job."""
    option = QuoteOption(version=version, key=key, label=label.strip(), contingency_rate=contingency_rate)
    option.full_clean(exclude=["version"])
    option.save()
    steps_load(option, routing_for(version.quote.job, version.quote.donor))
    return option


def option_copied(option: QuoteOption, version: QuoteVersion, key: str) -> QuoteOption:
    """An option with all its lines and decisions, on a version."""
    lines = {name: list(getattr(option, name).order_by("pk")) for name in LINES}
    option.pk, option.version, option.key = None, version, key
    option._state.adding = True
    option.save()
    for rows in lines.values():
        for line in rows:
            line.pk, line.option = None, option
            line._state.adding = True
        if rows:
            type(rows[0])._default_manager.bulk_create(rows)
    return option


def _free_key(version: QuoteVersion) -> str:
    if hasattr(version, "change"):
        raise Refused("A change order has one option: what the build is to become.")
    taken = set(version.options.values_list("key", flat=True))
    free = [key for key in OPTION_KEYS if key not in taken]
    if not free:
        raise Refused(f"A quote holds {len(OPTION_KEYS)} options. Remove one first.")
    return free[0]


def _refuse_plan(series: int | None, parallel: int | None, link_mohm: float | None) -> None:
    if (series is None) != (parallel is None):
        missing = "parallel" if parallel is None else "series"
        raise Refused("A pack needs both: groups in series, and cells in parallel.", missing)
    for name, count in (("series", series), ("parallel", parallel)):
        if count is not None and count < 1:
            raise Refused("Enter 1 or more.", name)
    if link_mohm is not None and link_mohm < 0:
        raise Refused("The resistance of links and bus bars is not negative.", "link_mohm")


def _known_bays(version: QuoteVersion, names: Sequence[str]) -> list[str]:
    donor = version.quote.donor
    known = [bay.name for bay in donor.family.bays.all()] if donor else []
    wrong = [name for name in names if name not in known]
    if wrong:
        there = f"It has {', '.join(known)}." if known else "None is entered for it."
        raise Refused(f"This bike has no bay called {', '.join(wrong)}. {there}", "bay_names")
    return [name for name in known if name in names]


def _untouched(values: Collection[str]) -> set[str]:
    """Fields that keep what they hold and are bound by no constraint to one of the given ones."""
    touched = set(values)
    for constraint in QuoteOption._meta.constraints:
        if isinstance(constraint, CheckConstraint) and isinstance(constraint.condition, Q):
            bound = set(constraint.condition.referenced_base_fields)
            touched |= bound if bound & set(values) else set()
    return {field.name for field in QuoteOption._meta.fields} - touched


def _option_saved(
    option: QuoteOption, version: QuoteVersion, person: User | None, verb: str, after: str, **values: object
) -> QuoteOption:
    for name, value in values.items():
        setattr(option, name, value)
    option.full_clean(exclude=_untouched(values), validate_unique=False)
    option.save(update_fields=list(values))
    draft_edited(version, person, verb, after=after)
    return option
