"""A whole set of parts put on an option at once; hours, extras and what is taken off the price stay."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction

from shop.models import OPTION_KEYS, Component, OptionPart, QuoteOption, QuoteVersion
from shop.services.errors import Refused
from shop.services.quotes.draft import draft_edited, locked_draft
from shop.services.quotes.options import option_copied

LONGEST_LABEL = 80  # of QuoteOption.label


@dataclass(frozen=True, kw_only=True)
class SetPart:
    """One part of a set: how much, conductors side by side, and a price by hand where it keeps one."""

    component: Component
    quantity: Decimal
    conductors: int = 1
    unit_price: Decimal | None = None


@transaction.atomic
def option_fill(
    *,
    version: QuoteVersion,
    key: str,
    like: str,
    parts: Sequence[SetPart],
    series: int,
    parallel: int,
    person: User | None,
    label: str = "",
    replacing: bool = False,
) -> QuoteOption:
    """Make the parts and the pack of an option this set. An option that is not there yet is made a copy of `like`.

    Refused when the option has other parts and `replacing` is False. What was decided on checks of the old parts goes.
    Safe to repeat: a set that is on the option already changes nothing.
    """
    row = locked_draft(version)
    if key not in OPTION_KEYS or series < 1 or parallel < 1 or not parts:
        raise Refused("This set is not whole. Find builds again.")
    option = row.options.filter(key=key).first()
    fresh = option is None
    if option is None:
        source = row.options.filter(key=like).first()
        if source is None:
            raise Refused(f"Option {like} is gone. Reload the page and find builds again.")
        option = option_copied(source, row, key)
    present = {part.component_id: part for part in option.parts.select_related("component")}
    if not fresh and _is_on(option, present, parts, series, parallel):
        return option
    if present and not fresh and not replacing:
        count = len(present)
        raise Refused(
            f"Option {key} has {count} part{'s' if count > 1 else ''} already. Say that they may be replaced, or use "
            "another option.",
            "replacing",
        )
    _write_parts(option, present, parts)
    option.decisions.all().delete()
    option.series, option.parallel, option.label = series, parallel, label.strip()[:LONGEST_LABEL] or option.label
    option.full_clean(exclude=["version"], validate_unique=False)
    option.save(update_fields=["series", "parallel", "label"])
    said = f"{key}: {len(parts)} parts, {series} in series, {parallel} in parallel"
    draft_edited(row, person, "option filled", before=f"{key}: {len(present)} parts", after=said)
    return option


def _is_on(
    option: QuoteOption, present: Mapping[int, OptionPart], parts: Sequence[SetPart], series: int, parallel: int
) -> bool:
    there = {pk: (part.quantity, part.conductors) for pk, part in present.items()}
    wanted = {part.component.pk: (part.quantity, part.conductors) for part in parts}
    return there == wanted and (option.series, option.parallel) == (series, parallel)


def _write_parts(option: QuoteOption, present: Mapping[int, OptionPart], parts: Sequence[SetPart]) -> None:
    """Lines that stay keep their price by hand; the others go, and the new ones come in the order of the set."""
    wanted = {part.component.pk for part in parts}
    option.parts.exclude(component_id__in=wanted).delete()
    for part in parts:
        line = present.get(part.component.pk) or OptionPart(
            option=option, component=part.component, unit_price=part.unit_price
        )
        line.quantity, line.conductors = part.quantity, part.conductors
        line.full_clean(exclude=["option", "component"], validate_unique=False)
        line.save()
