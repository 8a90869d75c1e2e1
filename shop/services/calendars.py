"""Calendar links: made, shown once, revoked."""

from __future__ import annotations

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from shop.models import Feed, FeedKind, Person
from shop.models.exact import new_link_token
from shop.permissions import OWNER, roles_of
from shop.selectors.calendars import feeds_of, may_follow_finishes, token_digest
from shop.services.errors import Refused
from shop.services.events import event_write

MOST = 20  # links that count at one time for a person or the shop: more are forgotten ones (our own choice)


@transaction.atomic
def feed_make(*, kind: str, who: Person | None, label: str, key: str, person: User) -> tuple[Feed, str]:
    """A new link. Returns the calendar and its token, which is nowhere kept: an empty one when the form comes again.

    The owner makes any; others their own bench work, the counter the promised finishes too.
    """
    known = Feed.objects.filter(key=key).first()
    if known is not None:
        return known, ""
    if kind == FeedKind.FINISHES:
        who = None
        if not may_follow_finishes(person):
            raise Refused("Promised finishes are followed by the owner and the counter.", "kind")
    elif who is None:
        raise Refused("Choose whose bench work it is.", "who")
    elif OWNER not in roles_of(person) and who.user_id != person.pk:
        raise Refused("Choose yourself: the owner makes calendars of others.", "who")
    if Feed.objects.filter(kind=kind, who=who, revoked_at__isnull=True).count() >= MOST:
        raise Refused(f"There are {MOST} such links. Revoke one that is no longer used first.")
    token = new_link_token()
    feed = Feed(kind=kind, who=who, label=label.strip(), key=key, token_sha256=token_digest(token), made_by=person)
    feed.full_clean(exclude=["who", "made_by"])
    feed.save(force_insert=True)
    event_write(person=person, verb="calendar link made", subject=str(feed)[:60], after=str(who or "the shop"))
    return feed, token


@transaction.atomic
def feed_revoke(*, feed: Feed, person: User) -> Feed:
    """The link opens nothing any more. Safe to repeat. Raises Feed.DoesNotExist for a link that is not theirs."""
    row = feeds_of(person).get(pk=feed.pk)
    if row.revoked_at is None:
        row.revoked_at = timezone.now()
        row.save(update_fields=["revoked_at"])
        event_write(person=person, verb="calendar link revoked", subject=str(row)[:60])
    return row
