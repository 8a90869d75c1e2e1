"""Frame families of donor bikes, added and changed, with their bays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction

from shop.models import Bay, DonorFamily, QuoteOption, VersionState
from shop.services.errors import Refused
from shop.services.events import event_write

FIXED = ("id", "public_id")


@transaction.atomic
def family_save(
    *,
    person: User | None,
    family: DonorFamily | None = None,
    bays: Sequence[Mapping[str, Any]] | None = None,
    **values: Any,
) -> DonorFamily:
    """Add a family, or change the figures given; `bays` are all it has from now on, None leaves them.

    Raises ValidationError by field, and Refused for a bay taken away that a draft's pack goes into.
    """
    row = DonorFamily.objects.select_for_update().get(pk=family.pk) if family else DonorFamily()
    known = {field.name for field in DonorFamily._meta.concrete_fields} - set(FIXED)
    unknown = set(values) - known
    if unknown:
        raise TypeError(f"family_save: no value is called {sorted(unknown)[0]}")
    changed = [name for name, value in values.items() if getattr(row, name) != value]
    for name in changed:
        setattr(row, name, values[name])
    row.full_clean()
    row.save()
    if bays is not None:
        changed += _bays_set(row, bays)
    if changed or family is None:
        event_write(
            person=person,
            verb="family changed" if family else "family added",
            subject=f"family {row.code}"[:60],
            after=", ".join(name.replace("_", " ") for name in changed),
        )
    return row


def _bays_set(family: DonorFamily, bays: Sequence[Mapping[str, Any]]) -> list[str]:
    """Make the family's bays these; the names of those that changed."""
    rows = {bay.name: bay for bay in Bay.objects.select_for_update().filter(family=family)}
    gone = sorted(set(rows) - {str(values["name"]) for values in bays})
    _guard_bays(family, gone)
    changed = [f"bay {name}" for name in gone]
    Bay.objects.filter(family=family, name__in=gone).delete()
    for values in bays:
        row = rows.get(str(values["name"])) or Bay(family=family)
        if row.pk and all(getattr(row, name) == value for name, value in values.items()):
            continue
        for name, value in values.items():
            setattr(row, name, value)
        row.full_clean(exclude=["family"])
        row.save()
        changed.append(f"bay {row.name}")
    return changed


def _guard_bays(family: DonorFamily, gone: Sequence[str]) -> None:
    drafts = QuoteOption.objects.filter(version__state=VersionState.DRAFT, version__quote__donor__family=family)
    for option in drafts.select_related("version__quote").order_by("pk") if gone else ():
        used = [name for name in gone if name in option.bay_names]
        if used:
            raise Refused(f"{option} puts its pack into bay {used[0]}. Choose another bay there first.")
