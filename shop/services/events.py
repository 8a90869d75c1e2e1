"""The log of who did what, when, and why."""

from __future__ import annotations

from django.contrib.auth.models import User

from shop.models import Build, Event, Quote

LONGEST = 300  # Event.before and Event.after


def event_write(
    *,
    person: User | None,
    verb: str,
    subject: str,
    quote: Quote | None = None,
    build: Build | None = None,
    before: str = "",
    after: str = "",
    reason: str = "",
    key: str | None = None,
) -> Event:
    """Write one act; `person` None when the clock did it. `before` and `after` are cut to what the column holds.

    `key` of the form that was pressed, where the log is all that keeps it.
    """
    event = Event(
        person=person,
        verb=verb,
        subject=subject,
        quote=quote,
        build=build,
        before=_cut(before),
        after=_cut(after),
        reason=reason,
        key=key,
    )
    event.clean_fields(exclude=["person", "quote", "build"])  # rows the caller holds need no look-up
    event.save(force_insert=True)
    return event


def build_event(*, build: Build, person: User, verb: str, before: str = "", after: str = "", reason: str = "") -> Event:
    """An act on a build, also in the log of its quote."""
    return event_write(
        person=person,
        verb=verb,
        subject=build.number,
        quote=build.version.quote,
        build=build,
        before=before,
        after=after,
        reason=reason,
    )


def _cut(text: str) -> str:
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 1]}…"
