"""The quote as a document: every word and figure that is printed, from the frozen request and result alone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC

from quoting.request import Donor, Option
from quoting.result import OptionResult
from shop.documents.cautions import cautions_of
from shop.documents.changes import Changes, changes_of
from shop.documents.columns import in_two
from shop.documents.comparing import Comparison, comparison_of
from shop.documents.finish import FinishBlock, finish_block
from shop.documents.included import IncludedRow, included_rows
from shop.documents.notes import Note, notes_of
from shop.documents.pen import Pen
from shop.documents.price import PriceBlock, price_block
from shop.documents.road import RoadBlock, road_block
from shop.documents.scan import ScanCode, scan_code
from shop.documents.spelling import language_of
from shop.documents.terms import Term, quote_terms
from shop.selectors.document_facts import Addressee, Letterhead
from shop.selectors.documents import IssuedQuote

FRONT_CHARACTERS = 600  # notes up to this length have room on a first page: about six lines (tried with normal builds)
FINGERPRINT = 10  # characters of the request's fingerprint that are printed: enough to tell two versions apart


@dataclass(frozen=True)
class Head:
    """What every document begins with. `made_at` and `title` go into the PDF's own data, `ref` to each page's foot."""

    language: str
    title: str
    ref: str
    made_at: str
    paper: str
    shop_name: str
    shop_lines: tuple[str, ...]
    customer_name: str
    customer_lines: tuple[str, ...]


@dataclass(frozen=True)
class OptionSheet:
    """One option."""

    key: str
    heading: str
    price: PriceBlock
    finish: FinishBlock | None
    road: RoadBlock | None
    included: tuple[IncludedRow, ...]
    notes: tuple[Note, ...]
    changes: Changes | None


@dataclass(frozen=True)
class QuoteDocument:
    """All of it. `comparison` None for one option, whose sheet then makes the first page."""

    head: Head
    number: str
    version: int
    dates: tuple[tuple[str, str], ...]
    job: str
    bike: tuple[tuple[str, str], ...]
    note: str
    options: tuple[OptionSheet, ...]
    comparison: Comparison | None
    terms: tuple[tuple[Term, ...], ...]
    cautions: tuple[tuple[str, ...], ...]
    code: ScanCode

    @property
    def single(self) -> OptionSheet | None:
        return None if self.comparison else self.options[0]

    @property
    def lines_follow(self) -> bool:
        """Whether the lines follow on the first page, which a kit or a repair leaves half empty."""
        single = self.single
        return single is not None and (single.road is None or not single.road.rows)

    @property
    def notes_in_front(self) -> bool:
        """Whether what the customer should know stands on the first page rather than under the lines."""
        single = self.single
        return (
            single is not None and sum(len(note.text) + len(note.decision) for note in single.notes) <= FRONT_CHARACTERS
        )


def quote_document(issued: IssuedQuote) -> QuoteDocument:
    """Nothing is worked out anew and nothing is read from the database."""
    request, result, facts = issued.request, issued.result, issued.facts
    pen = Pen(facts.letterhead.locale, request.currency, request.units)
    pairs = [(_option(request.options, item.key), item) for item in result.options]
    sheets = tuple(_sheet(issued, option, item, pen) for option, item in pairs)
    deposits = {sheet.price.deposit for sheet in sheets}
    asked = deposits.pop() if len(deposits) == 1 else ""
    named = f"Quote {issued.number}, version {issued.version}"
    return QuoteDocument(
        head=head_of(
            facts.letterhead,
            facts.addressee,
            title=f"{named}, {facts.letterhead.name}",
            ref=f"{issued.number} version {issued.version}, ref {result.computed_from[:FINGERPRINT]}",
            made_at=issued.offered_at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"),
        ),
        number=issued.number,
        version=issued.version,
        dates=(("Date", pen.day(request.day)), ("Valid until", pen.day(issued.valid_until))),
        job=facts.job,
        bike=bike_rows(request.donor, pen),
        note=facts.note,
        options=sheets,
        comparison=comparison_of(request, pairs, pen) if len(pairs) > 1 else None,
        terms=in_two(
            quote_terms(facts.letterhead, asked, request.day, issued.valid_until, pen), lambda term: len(term.text)
        ),
        cautions=in_two(cautions_of(request, result, pen), len),
        code=scan_code(issued.token, f"quote {issued.number}"),
    )


def head_of(letterhead: Letterhead, addressee: Addressee, *, title: str, ref: str, made_at: str) -> Head:
    return Head(
        language=language_of(letterhead.locale),
        title=title,
        ref=ref,
        made_at=made_at,
        paper=letterhead.paper,
        shop_name=letterhead.name,
        shop_lines=_lines(letterhead.address, letterhead.phone, letterhead.email),
        customer_name=addressee.name,
        customer_lines=_lines(addressee.address, addressee.phone, addressee.email),
    )


def bike_rows(donor: Donor | None, pen: Pen) -> tuple[tuple[str, str], ...]:
    """The donor by name and number, with what it weighs now."""
    if donor is None:
        return ()
    rows = [("Bike", donor.label), ("VIN or frame number", donor.vin or "not seen yet")]
    if donor.kerb_kg is not None:
        rows.append(("Weight before", pen.mass(donor.kerb_kg)))
    return tuple(rows)


def _option(options: tuple[Option, ...], key: str) -> Option:
    return next(option for option in options if option.key == key)


def _sheet(issued: IssuedQuote, option: Option, result: OptionResult, pen: Pen) -> OptionSheet:
    request = issued.request
    return OptionSheet(
        key=result.key,
        heading=_heading(result, alone=len(issued.result.options) == 1),
        price=price_block(result.price, request.policies, pen),
        finish=finish_block(request, option, result.promise, pen),
        road=road_block(request, result, pen),
        included=included_rows(request, option, result, pen),
        notes=notes_of(result, issued.facts.decisions, pen),
        changes=changes_of(issued.earlier, result, pen),
    )


def _heading(result: OptionResult, *, alone: bool) -> str:
    if alone:
        return "Every line"
    return f"Option {result.key}, {result.label}" if result.label else f"Option {result.key}"


def _lines(*texts: str) -> tuple[str, ...]:
    return tuple(line.strip() for text in texts for line in text.splitlines() if line.strip())
