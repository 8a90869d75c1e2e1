"""What becomes of an offered version: revised, declined, lapsed."""

from __future__ import annotations

from datetime import date

from django.contrib.auth.models import User
from django.db import transaction

from shop.models import Quote, QuoteOption, QuoteVersion, VersionState
from shop.selectors.requests import WISH_NAMES
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.quotes.options import option_copied

COPIED = (*WISH_NAMES, "tax_place", "note")


@transaction.atomic
def version_revise(*, version: QuoteVersion, person: User | None) -> QuoteVersion:
    """The next version as a draft, copied from this one with its lines and decisions. This one stays as it is."""
    quote = Quote.objects.select_for_update().get(pk=version.quote_id)
    versions = {row.state: row for row in quote.versions.all()}
    draft, accepted = versions.get(VersionState.DRAFT), versions.get(VersionState.ACCEPTED)
    if draft is not None:
        raise Refused(f"{draft} is a draft already. Change that one.")
    if accepted is not None:
        raise Refused(f"{accepted} is accepted and being built. Begin a change order at its build.")
    source = QuoteVersion.objects.get(pk=version.pk)
    number = max(row.number for row in quote.versions.all()) + 1
    made = QuoteVersion(quote=quote, number=number, **{name: getattr(source, name) for name in COPIED})
    made.full_clean(exclude=["quote", "tax_place"])
    made.save()
    for option in QuoteOption.objects.filter(version=source):
        option_copied(option, made, option.key)
    _event(made, person, "version started", before=str(source), after=str(made))
    return made


@transaction.atomic
def version_decline(*, version: QuoteVersion, person: User | None, reason: str = "") -> QuoteVersion:
    """The customer said no. Safe to repeat."""
    row = _locked(version)
    if row.state == VersionState.DECLINED:
        return row
    if row.state != VersionState.OFFERED:
        raise Refused(f"{row} is {row.get_state_display().lower()}: only an offered version can be declined.")
    return _moved(row, VersionState.DECLINED, person, "version declined", reason.strip())


@transaction.atomic
def versions_lapse(day: date) -> int:
    """Offered versions whose validity ended before `day` lapse. Returns how many; running it again finds none."""
    past = QuoteVersion.objects.select_for_update(of=("self",)).select_related("quote")
    rows = list(past.filter(state=VersionState.OFFERED, valid_until__lt=day).order_by("pk"))
    for row in rows:
        _moved(row, VersionState.LAPSED, None, "version lapsed", f"valid until {row.valid_until}")
    return len(rows)


def _locked(version: QuoteVersion) -> QuoteVersion:
    return QuoteVersion.objects.select_for_update(of=("self",)).select_related("quote").get(pk=version.pk)


def _moved(row: QuoteVersion, state: str, person: User | None, verb: str, reason: str) -> QuoteVersion:
    row.state = state
    row.save(update_fields=["state"])
    _event(row, person, verb, after=str(row), reason=reason)
    return row


def _event(
    version: QuoteVersion, person: User | None, verb: str, *, before: str = "", after: str = "", reason: str = ""
) -> None:
    event_write(
        person=person,
        verb=verb,
        subject=version.quote.number,
        quote=version.quote,
        before=before,
        after=after,
        reason=reason,
    )
