"""The customer's own page behind the link on a quote or a receipt: no account, nothing of the shop's own figures."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from shop.models import (
    Build,
    BuildState,
    ChangeOrder,
    EntryKind,
    Event,
    LedgerEntry,
    PromiseEntry,
    Quote,
    QuoteVersion,
    StepState,
    VersionState,
)
from shop.selectors.build_money import BuildMoney, build_money
from shop.selectors.shop import shop_today, the_shop

PAPER_WORDS = {
    EntryKind.DEPOSIT: "Receipt",
    EntryKind.PAYMENT: "Receipt",
    EntryKind.INVOICE: "Invoice",
    EntryKind.STORAGE: "Invoice",
    EntryKind.CREDIT_NOTE: "Credit note",
    EntryKind.REFUND: "Refund",
    EntryKind.KEPT: "Deposit kept",
}
MOVED = "moved in line"  # the log's verb for a new place; the customer is shown why


@dataclass(frozen=True, kw_only=True)
class CustomerPaper:
    """A document the customer may fetch. `kind` quote, change, receipt or entry (any other paper); `public_id` of the
    version, the change order or the ledger entry.
    """

    kind: str
    public_id: str
    label: str
    day: date


@dataclass(frozen=True, kw_only=True)
class CustomerMove:
    """One change of place in the line, and why."""

    at: datetime
    before: str
    after: str
    reason: str


@dataclass(frozen=True, kw_only=True)
class CustomerPage:
    """What a customer sees of a quote or a build.

    `is_open` while the version can be accepted. `build` None until a deposit was taken; then `version` is the one it
    was taken for, or the last change agreed to; `change` is one offered since. `promises` the finish windows
    given, the first one first; the newest counts. `steps_done` of `steps`.
    No findings, no cost, no name but theirs.
    """

    customer_name: str
    title: str
    quote_number: str
    version: QuoteVersion
    is_open: bool
    build: Build | None
    steps_done: int
    steps: int
    promises: tuple[PromiseEntry, ...]
    moves: tuple[CustomerMove, ...]
    money: BuildMoney | None
    papers: tuple[CustomerPaper, ...]
    change: ChangeOrder | None = None


def customer_page(token: str) -> CustomerPage:
    """The page behind a quote's or a build's link. Raises Quote.DoesNotExist for any other, and before an offer."""
    build = Build.objects.filter(link_token=token).select_related("version__quote").first()
    quote = build.version.quote if build else Quote.objects.get(link_token=token)
    quote = Quote.objects.select_related("customer", "donor__family").get(pk=quote.pk)
    versions = list(quote.versions.exclude(state=VersionState.DRAFT).defer("request", "result"))
    versions.sort(key=lambda each: -each.number)
    changes = {
        change.version_id: change
        for change in ChangeOrder.objects.filter(version__quote=quote)
        .select_related("version")
        .defer("version__request", "version__result")
    }
    if not versions:
        raise Quote.DoesNotExist(f"{quote} has not been offered")
    if build is None:
        build = _build_of(versions)
    version = next((each for each in versions if build and each.pk == build.version_id), versions[0])
    steps = [step.state for step in build.steps.all()] if build else []
    entries = _papers_of(build) if build else ()
    return CustomerPage(
        customer_name=quote.customer.name if quote.customer else "",
        title=build.title if build else str(quote.donor or quote.get_job_display()),
        quote_number=quote.number,
        version=version,
        is_open=_is_open(version),
        build=build,
        steps_done=steps.count(StepState.DONE),
        steps=len(steps),
        promises=tuple(build.promises.order_by("at", "pk")) if build else (),
        moves=_moves(build) if build else (),
        money=build_money([build])[build.pk] if build else None,
        papers=tuple(_papers(versions, changes, entries, ZoneInfo(the_shop().zone))),
        change=next((changes[each.pk] for each in versions if each.pk in changes and _is_open(each)), None),
    )


def _build_of(versions: Sequence[QuoteVersion]) -> Build | None:
    """The build of a quote's link, unless it was cancelled and a newer version was offered since."""
    builds = list(Build.objects.filter(version__in=versions).order_by("-pk"))
    standing = [build for build in builds if build.state != BuildState.CANCELLED]
    cancelled = [build for build in builds if build.version_id == versions[0].pk]
    return next(iter([*standing, *cancelled]), None)


def _is_open(version: QuoteVersion) -> bool:
    still_valid = version.valid_until is not None and version.valid_until >= shop_today()
    return version.state == VersionState.OFFERED and still_valid


def _papers_of(build: Build) -> tuple[LedgerEntry, ...]:
    """Entries with a paper of their own that stand, the newest invoice first."""
    rows = build.entries.filter(reversed_by__isnull=True).exclude(receipt=None, document=None)
    return tuple(rows.order_by("-number"))


def _moves(build: Build) -> tuple[CustomerMove, ...]:
    events = Event.objects.filter(build=build, verb=MOVED).order_by("at", "pk")
    return tuple(CustomerMove(at=each.at, before=each.before, after=each.after, reason=each.reason) for each in events)


def _papers(
    versions: Iterable[QuoteVersion],
    changes: Mapping[int, ChangeOrder],
    entries: Iterable[LedgerEntry],
    zone: ZoneInfo,
) -> Iterable[CustomerPaper]:
    for entry in entries:
        kind = "receipt" if entry.kind == EntryKind.DEPOSIT else "entry"
        label = f"{PAPER_WORDS[EntryKind(entry.kind)]} {entry.document or entry.receipt}"
        yield CustomerPaper(kind=kind, public_id=entry.public_id, label=label, day=entry.day)
    for version in versions:
        change = changes.get(version.pk)
        if version.offered_at is not None:
            yield CustomerPaper(
                kind="change" if change else "quote",
                public_id=change.public_id if change else version.public_id,
                label=f"Change order {change}" if change else f"Quote {version}",
                day=version.offered_at.astimezone(zone).date(),
            )
