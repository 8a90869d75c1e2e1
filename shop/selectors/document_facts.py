"""Letterhead, addressee, terms and standing of a document: as kept when it was issued, or as the rows say now."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from quoting import from_json
from quoting.price import TaxAhead
from quoting.request import TaxPlace as EngineTaxPlace
from shop.models import (
    Build,
    Customer,
    DocumentFacts,
    Job,
    KeptBasis,
    LedgerEntry,
    QuoteVersion,
    RefundStage,
    Shop,
    TaxPlace,
)
from shop.selectors.ledger_sums import account_held, invoice_sums
from shop.selectors.shop import the_shop


@dataclass(frozen=True, kw_only=True)
class Letterhead:
    """The shop as it prints itself, and its terms. `locale`, `zone` and `paper` are how the document is written."""

    name: str
    address: str
    email: str
    phone: str
    locale: str
    zone: str
    paper: str
    deposit_terms: str
    storage_free_days: int
    storage_fee: Decimal
    parts_deposit_rate: Decimal = Decimal(0)
    keep_from: str = RefundStage.NEVER
    kept_basis: str = KeptBasis.SPENT
    kept_rate: Decimal = Decimal(0)
    tax_number: str = ""


@dataclass(frozen=True, kw_only=True)
class Addressee:
    """The customer as addressed."""

    name: str
    address: str = ""
    email: str = ""
    phone: str = ""


@dataclass(frozen=True, kw_only=True)
class Decided:
    """A person's answer to a check finding of an option, by rule."""

    option: str
    rule: str
    reason: str


@dataclass(frozen=True, kw_only=True)
class QuoteFacts:
    """What a quote's document says besides the frozen request and result.

    `taxed_at_payment` as its tax place said then: tax on a deposit is due when the deposit is received.
    """

    letterhead: Letterhead
    addressee: Addressee
    job: str
    note: str = ""
    decisions: tuple[Decided, ...] = ()
    taxed_at_payment: bool = False


@dataclass(frozen=True, kw_only=True)
class TaxedAtPayment:
    """What of a payment was taxed when it was received, by the rates of `place` that were in force on `day`."""

    ahead: TaxAhead
    day: date
    place: EngineTaxPlace


@dataclass(frozen=True, kw_only=True)
class ReceiptFacts:
    """What a receipt says besides its ledger entry.

    `place` None: nobody kept it. `before` was received towards the build before this entry, `left` remains after it.
    For a payment on an invoice, `invoice` is its number, `total` what it asks, `before` what was paid or credited on
    it; `over` came in beyond that and is held for the customer. `taxed` where it was taxed when it was received.
    """

    letterhead: Letterhead
    addressee: Addressee
    currency: str
    build: str
    title: str
    quote: str
    total: Decimal
    before: Decimal
    left: Decimal
    place: int | None = None
    finish_from: date | None = None
    finish_to: date | None = None
    taken_by: str = ""
    is_kit: bool = False
    invoice: str = ""
    over: Decimal = Decimal(0)
    taxed: TaxedAtPayment | None = None


def quote_facts(version: QuoteVersion) -> QuoteFacts:
    """As kept when the version was offered; for one offered before facts were kept, as the rows say now."""
    kept = DocumentFacts.objects.filter(version=version).first()
    return from_json(QuoteFacts, kept.facts) if kept else quote_facts_now(version)


def receipt_facts(entry: LedgerEntry) -> ReceiptFacts:
    """As kept when the deposit was taken. Without kept facts the place is not known any more."""
    kept = DocumentFacts.objects.filter(entry=entry).first()
    return from_json(ReceiptFacts, kept.facts) if kept else receipt_facts_now(entry, place=None)


def quote_facts_now(version: QuoteVersion) -> QuoteFacts:
    """As the rows say at this moment."""
    quote = version.quote
    options = version.options.prefetch_related("decisions")
    rows = [(option.key, decision) for option in options for decision in option.decisions.all()]
    return QuoteFacts(
        letterhead=letterhead_of(the_shop()),
        addressee=addressee_of(quote.customer),
        job=quote.get_job_display(),
        note=version.note.strip(),
        decisions=tuple(Decided(option=key, rule=row.rule, reason=row.reason) for key, row in rows),
        taxed_at_payment=version.tax_place is not None and version.tax_place.tax_point == TaxPlace.Point.PAYMENT,
    )


def receipt_facts_now(entry: LedgerEntry, *, place: int | None) -> ReceiptFacts:
    """As the rows say at this moment, for a deposit. The finish window is the newest given up to the entry."""
    build = _build_of(entry)
    promise = build.promises.filter(at__lte=entry.at).order_by("at", "pk").last() or build.promises.first()
    charged, before = _asked_and_paid(build, entry)
    moved = amount_of(entry)
    return ReceiptFacts(
        letterhead=letterhead_of(the_shop()),
        addressee=addressee_of(entry.customer),
        currency=build.version.result["currency"] if build.version.result else the_shop().currency,
        build=build.number,
        title=build.title,
        quote=str(build.version),
        total=charged,
        before=before,
        left=max(charged - before - moved, Decimal(0)),
        place=place,
        finish_from=promise.finish_from if promise and not entry.concerns else None,
        finish_to=promise.finish_to if promise and not entry.concerns else None,
        taken_by=entry.person.get_full_name() if entry.person else "",
        is_kit=build.job == Job.PARTS_KIT,
        invoice=entry.concerns.document or "" if entry.concerns else "",
        over=max(moved - (charged - before), Decimal(0)),
    )


def amount_of(entry: LedgerEntry) -> Decimal:
    """What an entry moved."""
    return entry.moved


def letterhead_of(shop: Shop) -> Letterhead:
    return Letterhead(
        name=shop.name,
        address=shop.address,
        email=shop.email,
        phone=shop.phone,
        locale=shop.locale,
        zone=shop.zone,
        paper=shop.paper,
        deposit_terms=shop.deposit_terms.strip(),
        storage_free_days=shop.storage_free_days,
        storage_fee=shop.storage_fee,
        parts_deposit_rate=shop.parts_deposit_rate,
        keep_from=shop.keep_from,
        kept_basis=shop.kept_basis,
        kept_rate=shop.kept_rate,
        tax_number=shop.tax_number,
    )


def addressee_of(customer: Customer | None) -> Addressee:
    if customer is None:
        return Addressee(name="")
    return Addressee(name=customer.name, address=customer.address, email=customer.email, phone=customer.phone)


def _build_of(entry: LedgerEntry) -> Build:
    build = Build.objects.select_related("version__quote").filter(entries=entry).first()
    if build is None:
        raise LedgerEntry.DoesNotExist(f"entry {entry.number} belongs to no build")
    return build


def _asked_and_paid(build: Build, entry: LedgerEntry) -> tuple[Decimal, Decimal]:
    """What a receipt's entry is paid towards, and what was paid of it before: the build's price, or an invoice."""
    if entry.concerns is not None:
        charged, paid = invoice_sums(entry.concerns, before=entry.number)
        return charged, paid
    return build.total, account_held(build, before=entry.number)
