"""Drafts: the guard every edit passes, and the trace it leaves."""

from __future__ import annotations

from typing import TypeVar

from django.contrib.auth.models import User
from django.db.models import Model

from shop.models import Quote, QuoteOption, QuoteVersion
from shop.services.errors import Refused
from shop.services.events import event_write

Row = TypeVar("Row", bound=Model)


def locked_draft(version: QuoteVersion) -> QuoteVersion:
    """The version as it stands in the table, locked. Raises Refused when it is no draft any more."""
    row = QuoteVersion.objects.select_for_update(of=("self",)).select_related("quote").get(pk=version.pk)
    if not row.is_draft:
        raise Refused(
            f"{row} is {row.get_state_display().lower()} and stays as it is. Make a new version to change it."
        )
    return row


def locked_quote(quote: Quote) -> Quote:
    """The quote locked, while nothing of it has been offered. Raises Refused."""
    row = Quote.objects.select_for_update(of=("self",)).select_related("customer", "donor__family").get(pk=quote.pk)
    shown = row.versions.exclude(state="draft").order_by("number").first()
    if shown is not None:
        raise Refused(
            f"{row.number} has been offered, so customer, bike and kind of job stay as they are. Start a new quote."
        )
    return row


def still_there(option: QuoteOption, row: Row) -> Row:
    """A line read afresh. Raises Refused when somebody else has taken it off in the meantime."""
    found = type(row)._default_manager.filter(pk=row.pk, option=option).first()
    if found is None:
        raise Refused("That line is no longer on the option: somebody has taken it off. Reload the page.")
    return found


def draft_edited(
    version: QuoteVersion, person: User | None, verb: str, *, before: str = "", after: str = "", reason: str = ""
) -> None:
    """Note that a draft was edited: when it was last saved, and the event."""
    version.save(update_fields=["saved_at"])
    event_write(
        person=person,
        verb=verb,
        subject=version.quote.number,
        quote=version.quote,
        before=before,
        after=after,
        reason=reason,
    )
