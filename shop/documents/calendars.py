"""A calendar as an iCalendar object (RFC 5545), with the properties phones ask for (RFC 7986)."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from urllib.parse import urlsplit
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event, Timezone, vText

from shop.selectors.calendars import CalendarEvent, PublishedCalendar

PRODUCT = "-//donorbench//Calendar//EN"  # RFC 5545, 3.7.3: a formal public identifier
REFRESH = timedelta(minutes=15)  # RFC 7986, 5.7: how often to ask again (our own choice, as often as we work it out)
ZONE_YEARS = 3  # of daylight saving told in VTIMEZONE: no plan of ours looks further (our own choice)


def calendar_bytes(told: PublishedCalendar, *, zone: str, base_url: str, today: date) -> bytes:
    """The object a calendar program reads. The same calendar on the same day gives the same bytes.

    Without METHOD, so DTSTAMP is when the event was last changed (RFC 5545, 3.8.7.2). VTIMEZONE stands in it always: an
    object needs at least one component (3.6), even when there is nothing to tell.
    """
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("name", vText(told.name))  # as text, or the library leaves its commas as they are
    calendar.add("x-wr-calname", vText(told.name))
    calendar.add("refresh-interval", REFRESH, parameters={"VALUE": "DURATION"})
    calendar.add_component(Timezone.from_ical(_zone_text(zone, today.year)))
    for event in told.events:
        calendar.add_component(_event(event, ZoneInfo(zone), base_url))
    body: bytes = calendar.to_ical()
    return body


@lru_cache(maxsize=8)
def _zone_text(zone: str, year: int) -> bytes:
    """VTIMEZONE from the year before on: it takes the library a moment to make."""
    made = Timezone.from_tzid(zone, first_date=date(year - 1, 1, 1), last_date=date(year + ZONE_YEARS, 1, 1))
    text: bytes = made.to_ical()
    return text


def _event(told: CalendarEvent, zone: ZoneInfo, base_url: str) -> Event:
    event = Event()
    event.add("uid", f"{told.uid}@{urlsplit(base_url).hostname}")
    event.add("dtstamp", told.changed_at.astimezone(UTC).replace(microsecond=0))
    event.add("last-modified", told.changed_at.astimezone(UTC).replace(microsecond=0))
    event.add("sequence", told.sequence)
    event.add("dtstart", _when(told.start, zone))
    event.add("dtend", _when(told.end, zone))
    event.add("summary", told.summary)
    event.add("description", told.description)
    if told.location:
        event.add("location", told.location)
    event.add("status", "CONFIRMED" if told.sure else "TENTATIVE")
    event.add("transp", "OPAQUE" if told.busy else "TRANSPARENT")
    event.add("class", "PRIVATE")
    event.add("url", f"{base_url}{told.path}")
    return event


def _when(moment: datetime | date, zone: ZoneInfo) -> datetime | date:
    return moment.astimezone(zone) if isinstance(moment, datetime) else moment


def last_changed(events: Sequence[CalendarEvent]) -> datetime | None:
    """When something in a calendar was last told anew."""
    return max((event.changed_at for event in events), default=None)
