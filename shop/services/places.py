"""Places in the line: always 1, 2, 3 … over the open builds. Call under the line's lock."""

from __future__ import annotations

from collections.abc import Sequence

from django.contrib.auth.models import User
from django.db.models import Case, F, PositiveIntegerField, Value, When

from shop.models import CLOSED_STATES, Build
from shop.selectors.customer_page import MOVED
from shop.services.events import event_write

# Both databases hold the uniqueness of places row by row while a statement runs. So those that move first step far out
# of the way, past any place a line can have, and then into their own.
OUT_OF_THE_WAY = 1_000_000


def line_in_order() -> list[Build]:
    """Open builds in order of place."""
    return list(Build.objects.exclude(state__in=CLOSED_STATES).order_by("place"))


def places_give(line: Sequence[Build], *, person: User | None, reason: str) -> list[Build]:
    """Give the open builds 1 to n in this order. Each that moves gets an event. Returns those that moved."""
    moved = [(build, build.place, place) for place, build in enumerate(line, start=1) if build.place != place]
    if not moved:
        return []
    rows = Build.objects.filter(pk__in=[build.pk for build, _, _ in moved])
    rows.update(place=F("place") + OUT_OF_THE_WAY)
    places = [When(pk=build.pk, then=Value(place)) for build, _, place in moved]
    rows.update(place=Case(*places, output_field=PositiveIntegerField()))
    for build, before, place in moved:
        build.place = place
        event_write(
            person=person,
            verb=MOVED,
            subject=build.number,
            build=build,
            before=f"place {before}",
            after=f"place {place}",
            reason=reason,
        )
    return [build for build, _, _ in moved]
