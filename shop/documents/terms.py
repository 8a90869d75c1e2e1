"""The terms printed on a quote and a receipt: deposit, validity, dates, changes, storage."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shop.documents.pen import Pen
from shop.selectors.document_facts import Letterhead


@dataclass(frozen=True)
class Term:
    title: str
    text: str


def quote_terms(letterhead: Letterhead, deposit: str, day: date, valid_until: date, pen: Pen) -> tuple[Term, ...]:
    """`deposit` as written; empty when options ask for different ones, which then stand in their comparison."""
    asked = (
        f"{deposit} gives a place in line." if deposit else "The deposit of the chosen option gives a place in line."
    )
    terms = [
        Term("Deposit", f"{asked} {letterhead.deposit_terms}".strip()),
        Term("Prices", f"hold until {pen.day(valid_until)}."),
        Term(
            "Place and dates",
            "places go in the order deposits are received; place and finish are worked out again that day and stand on "
            "the receipt.",
        ),
        Term("Changes", "are quoted with their price and their effect on the finish before they are made."),
        *storage_terms(letterhead, pen),
        Term(
            "Tax",
            f"shown at the rates known on {pen.day(day)}, charged at the rates on the date of supply; the tax "
            "authority decides. None is taken on the deposit.",
        ),
    ]
    return tuple(Term(term.title, pen.own(term.text)) for term in terms)


def storage_terms(letterhead: Letterhead, pen: Pen) -> tuple[Term, ...]:
    """Nothing when the shop takes no fee."""
    if not letterhead.storage_fee:
        return ()
    fee, days = pen.money(letterhead.storage_fee), letterhead.storage_free_days
    if not days:
        return (Term("Storage", f"{fee} a day from the day we tell you the bike is ready."),)
    free = f"{days} day{'' if days == 1 else 's'}"
    return (Term("Storage", f"free for {free} after we tell you the bike is ready, then {fee} a day."),)
