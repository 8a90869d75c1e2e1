"""Offered quotes and receipts without a database: the engine's invented example on an invented letterhead."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from quoting import QuoteRequest, QuoteResult, quote
from quoting.example import example_request
from shop.selectors.document_facts import Addressee, Decided, Letterhead, QuoteFacts, ReceiptFacts
from shop.selectors.documents import IssuedQuote, IssuedReceipt

OFFERED_AT = datetime(2026, 3, 2, 14, 0, tzinfo=UTC)
VALID_UNTIL = date(2026, 4, 1)
TOKEN = "onlyAnInventedToken"
TERMS = "Refundable in full until parts are ordered."
LETTERHEAD = Letterhead(
    name="Harbor Lane Electrics",
    address="1 Harbor Lane\nPort Example",
    email="desk@harbor.example",
    phone="555-0100",
    locale="en-US",
    zone="America/New_York",
    paper="Letter",
    deposit_terms=TERMS,
    storage_free_days=5,
    storage_fee=Decimal(25),
)
ADDRESSEE = Addressee(name="Casey Example", address="2 Quay Street\nPort Example", email="casey@example.org")


def make_issued(
    request: QuoteRequest | None = None,
    result: QuoteResult | None = None,
    *,
    decisions: tuple[Decided, ...] = (),
    **letterhead: Any,
) -> IssuedQuote:
    """The engine's example, offered on the 2nd of March 2026; `letterhead` changes locale, paper and such."""
    request = request or example_request()
    return IssuedQuote(
        request=request,
        result=result or quote(request),
        facts=QuoteFacts(
            letterhead=replace(LETTERHEAD, **letterhead),
            addressee=ADDRESSEE,
            job="Full conversion",
            decisions=decisions,
        ),
        number="Q-104",
        version=1,
        token=TOKEN,
        offered_at=OFFERED_AT,
        valid_until=VALID_UNTIL,
    )


def make_options(*parallels: int) -> QuoteRequest:
    """The example with an option for each count of cells in parallel."""
    request = example_request()
    base = request.options[0]
    assert base.pack is not None
    options = []
    for key, parallel in zip("ABC", parallels, strict=False):
        parts = tuple(
            replace(part, quantity=Decimal(base.pack.series * parallel)) if part.kind == "cell" else part
            for part in base.parts
        )
        pack = replace(base.pack, parallel=parallel)
        options.append(replace(base, key=key, label=f"{parallel} in parallel", parts=parts, pack=pack))
    return replace(request, options=tuple(options))


def make_receipt(
    *, reversed_on: date | None = None, method: str = "checks", locale: str = "en-US", **facts: Any
) -> IssuedReceipt:
    """4,469.98 received towards 14,899.92; place 7, finish between March 12 and April 2, 2026."""
    made: dict[str, Any] = {
        "letterhead": replace(LETTERHEAD, locale=locale),
        "addressee": ADDRESSEE,
        "currency": "USD",
        "build": "B-7",
        "title": "Example twin 400, 1979",
        "quote": "Q-104 version 1",
        "total": Decimal("14899.92"),
        "before": Decimal(0),
        "left": Decimal("10429.94"),
        "place": 7,
        "finish_from": date(2026, 3, 12),
        "finish_to": date(2026, 4, 2),
        "taken_by": "Robin Till",
        **facts,
    }
    return IssuedReceipt(
        facts=ReceiptFacts(**made),
        number="R-31",
        amount=Decimal("4469.98"),
        method=method,
        reference="no. 1182",
        received_on=date(2026, 1, 8),
        entered_at=datetime(2026, 1, 8, 15, 0, tzinfo=UTC),
        token=TOKEN,
        reversed_on=reversed_on,
    )
