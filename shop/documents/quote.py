"""The quote as a document: every word and figure that is printed, from the frozen request and result alone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC

from quoting.request import Donor, Option
from quoting.result import OptionResult
from shop.documents.cautions import cautions_of
from shop.documents.changes import Changes, changes_of
from shop.documents.columns import Columns, PrintItem, print_columns
from shop.documents.comparing import Comparison, comparison_of
from shop.documents.finish import FinishBlock, finish_block
from shop.documents.included import IncludedRow, included_rows
from shop.documents.notes import Note, notes_of
from shop.documents.pen import Pen
from shop.documents.price import PriceBlock, price_block
from shop.documents.road import RoadBlock, road_block
from shop.documents.scan import ScanCode, scan_code
from shop.documents.spelling import language_of
from shop.documents.terms import quote_terms
from shop.selectors.document_facts import Addressee, Letterhead
from shop.selectors.documents import IssuedQuote

# A first page on Letter paper has room for so many lines of charge times, what is included, and remarks; characters a
# line. Counted on pages of builds with thirty lines.
FRONT_LINES, FRONT_LINE = 24, 115
HEADING_LINES = 2
CLOSING_COLUMNS, CLOSING_LINE = 3, 46  # terms and cautions: columns, characters a line (counted on a page)
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
    closing: Columns
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
    def remarks_in_front(self) -> bool:
        """Whether changes and what the customer should know stand on the first page rather than under the lines."""
        return self.single is not None and _front_lines(self.single) <= FRONT_LINES


def quote_document(issued: IssuedQuote) -> QuoteDocument:
    """Nothing is worked out anew and nothing is read from the database."""
    request, result, facts = issued.request, issued.result, issued.facts
    pen = Pen(facts.letterhead.locale, request.currency, request.units)
    pairs = [(_option(request.options, item.key), item) for item in result.options]
    sheets = tuple(_sheet(issued, option, item, pen) for option, item in pairs)
    deposits = {sheet.price.deposit for sheet in sheets}
    asked = deposits.pop() if len(deposits) == 1 else ""
    terms = quote_terms(
        facts.letterhead, asked, request.day, issued.valid_until, pen, taxed_at_payment=facts.taxed_at_payment
    )
    cautions = tuple(PrintItem(text) for text in cautions_of(request, result, pen))
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
        closing=print_columns((("Terms", terms), ("Cautions", cautions)), CLOSING_COLUMNS, CLOSING_LINE),
        code=scan_code(issued.token, f"quote {issued.number}"),
    )


def head_of(letterhead: Letterhead, addressee: Addressee, *, title: str, ref: str, made_at: str) -> Head:
    tax_number = f"Tax number {letterhead.tax_number}" if letterhead.tax_number else ""
    return Head(
        language=language_of(letterhead.locale),
        title=title,
        ref=ref,
        made_at=made_at,
        paper=letterhead.paper,
        shop_name=letterhead.name,
        shop_lines=_lines(letterhead.address, letterhead.phone, letterhead.email, tax_number),
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
    request, alone = issued.request, len(issued.result.options) == 1
    return OptionSheet(
        key=result.key,
        heading=_heading(result, alone),
        price=price_block(result.price, request.policies, pen),
        finish=finish_block(request, option, result.promise, pen),
        road=road_block(request, result, pen),
        included=included_rows(request, option, result, pen),
        notes=notes_of(result, issued.facts.decisions, pen),
        changes=changes_of(issued.earlier, result, pen, alone=alone),
    )


def _front_lines(sheet: OptionSheet) -> int:
    """Lines that the parts of a first page take whose length differs from build to build."""
    texts = [row.words for row in sheet.included] + [f"{note.title}{note.text}{note.decision}" for note in sheet.notes]
    texts += sheet.changes.sentences if sheet.changes else ()
    headings = HEADING_LINES * (bool(sheet.notes) + bool(sheet.changes))
    return sum(-(-len(text) // FRONT_LINE) for text in texts) + headings + (len(sheet.road.facts) if sheet.road else 0)


def _heading(result: OptionResult, alone: bool) -> str:
    if alone:
        return "Every line"
    return f"Option {result.key}, {result.label}" if result.label else f"Option {result.key}"


def _lines(address: str, phone: str, email: str, last: str = "") -> tuple[str, ...]:
    """The address as it stands, then phone and mail on one line, then the last one."""
    reached = ", ".join(text for text in (phone, email) if text)
    return tuple(line.strip() for line in (*address.splitlines(), reached, last) if line.strip())
