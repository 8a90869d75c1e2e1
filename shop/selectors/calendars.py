"""Calendars by secret link: whose there are, and what each tells. No money, and of customers the name alone."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.contrib.auth.models import User
from django.db.models import Count, Max, Q, QuerySet
from django.urls import reverse

from shop.models import CLOSED_STATES, BookedStep, Build, Feed, FeedKind
from shop.permissions import COUNTER, OWNER, roles_of

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, kw_only=True)
class CalendarEvent:
    """An event as it is published: RFC 5545 names in brackets.

    `uid` [UID] stays with the thing for ever; `sequence` [SEQUENCE] and `changed_at` [DTSTAMP, LAST-MODIFIED] move with
    it. `start` and `end` aware moments, or whole days with `end` the day after the last. `busy` [TRANSP]; `sure`
    [STATUS] confirmed, a promise, or tentative, a plan. `path` of the page it is about.
    """

    uid: str
    sequence: int
    changed_at: datetime
    start: datetime | date
    end: datetime | date
    summary: str
    description: str
    path: str
    location: str = ""
    busy: bool = True
    sure: bool = False


@dataclass(frozen=True, kw_only=True)
class PublishedCalendar:
    """A calendar with its events in order of time."""

    name: str
    events: tuple[CalendarEvent, ...]


def token_digest(token: str) -> str:
    """What is kept of a link's token."""
    return hashlib.sha256(token.encode()).hexdigest()


def feed_behind(token: str) -> Feed:
    """The calendar of a link that counts. Raises Feed.DoesNotExist for any other and for one that was revoked."""
    return Feed.objects.select_related("who").get(token_sha256=token_digest(token), revoked_at__isnull=True)


def feeds_of(user: User) -> QuerySet[Feed]:
    """The owner sees all; others what they made and what tells their own work."""
    rows = Feed.objects.select_related("who", "made_by").order_by("revoked_at", "-made_at", "-pk")
    if OWNER in roles_of(user):
        return rows
    return rows.filter(Q(made_by=user) | Q(who__user=user))


def may_follow_finishes(user: User) -> bool:
    return bool(roles_of(user) & {OWNER, COUNTER})


def published(feed: Feed) -> PublishedCalendar:
    """What a calendar tells now. The booked steps are those last worked out, see `services.booked`."""
    if feed.kind == FeedKind.FINISHES:
        return PublishedCalendar(name="Promised finishes", events=tuple(_finishes()))
    return PublishedCalendar(name=f"Bench work, {feed.who}", events=tuple(_work(feed)))


def _work(feed: Feed) -> Iterable[CalendarEvent]:
    rows = BookedStep.objects.filter(who=feed.who).select_related("step__build__customer")
    found = [
        CalendarEvent(
            uid=f"step-{row.step.public_id}-{number}",
            sequence=row.sequence,
            changed_at=row.changed_at,
            start=datetime.fromisoformat(start),
            end=datetime.fromisoformat(end),
            summary=f"{row.step.label}, {row.step.build.number}",
            description=_told(row.step.build),
            location=row.bench,
            path=reverse("build", args=[row.step.build.public_id]),
        )
        for row in rows
        for number, (start, end) in enumerate(row.pieces, start=1)
    ]
    return sorted(found, key=lambda event: (event.start, event.uid))


def _finishes() -> Iterable[CalendarEvent]:
    """The promised window of each open build, as whole days; every change of a promise is told anew."""
    rows = Build.objects.exclude(state__in=CLOSED_STATES).select_related("customer")
    told = rows.annotate(told=Count("promises"), told_at=Max("promises__at")).order_by("promised_to", "number")
    return [
        CalendarEvent(
            uid=f"promise-{row.public_id}",
            sequence=max(row.told - 1, 0),
            changed_at=row.told_at or row.accepted_at,
            start=row.promised_from,
            end=row.promised_to + ONE_DAY,
            summary=f"{row.number} promised, {row.customer.name}",
            description=_told(row),
            busy=False,
            sure=True,
            path=reverse("build", args=[row.public_id]),
        )
        for row in told
        if row.promised_from and row.promised_to
    ]


def _told(build: Build) -> str:
    return f"{build.title}, {build.customer.name}"
