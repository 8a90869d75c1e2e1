"""The terms printed on a quote and a receipt: deposit, validity, dates, changes, storage."""

from __future__ import annotations

from datetime import date

from shop.documents.columns import PrintItem
from shop.documents.pen import Pen
from shop.models import KeptBasis, RefundStage
from shop.selectors.document_facts import Letterhead

TAXED_AT_PAYMENT = "On a deposit it is due when the deposit is received; the final invoice takes that off."


def quote_terms(
    letterhead: Letterhead, deposit: str, day: date, valid_until: date, pen: Pen, *, taxed_at_payment: bool = False
) -> tuple[PrintItem, ...]:
    """`deposit` as written; empty when options ask for different ones, which then stand in their comparison."""
    on_deposit = TAXED_AT_PAYMENT if taxed_at_payment else "None is taken on the deposit."
    asked = f"{deposit}." if deposit else "as stated for the chosen option."
    own = letterhead.deposit_terms or "It gives a place in line."
    own = " ".join(text for text in (own, parts_terms(letterhead, pen), kept_terms(letterhead, pen)) if text)
    terms = [
        ("Deposit", f"{asked} {own}"),
        ("Prices", f"hold until {pen.day(valid_until)}."),
        (
            "Place and dates",
            "places go in the order deposits are received; place and finish are worked out again that day and stand on "
            "the receipt.",
        ),
        ("Changes", "are quoted with their price and their effect on the finish before they are made."),
        *storage_terms(letterhead, pen),
        (
            "Tax",
            f"shown at the rates known on {pen.day(day)}, charged at the rates on the date of supply; the tax "
            f"authority decides. {on_deposit}",
        ),
    ]
    return tuple(PrintItem(pen.own(text), title) for title, text in terms)


def kept_terms(letterhead: Letterhead, pen: Pen) -> str:
    """What of a deposit is kept when the customer withdraws, in a sentence; from the shop's policy."""
    if letterhead.keep_from == RefundStage.NEVER:
        return "It is given back whole when you withdraw."
    stage = "parts are ordered or kept for you" if letterhead.keep_from == RefundStage.PARTS else "work has begun"
    if letterhead.kept_basis == KeptBasis.SHARE:
        kept = f"{pen.percent(letterhead.kept_rate)} of what you paid"
    else:
        kept = "the agreed price of those parts and of the hours worked, at most what you paid,"
    return f"It is given back whole until {stage}; from then on {kept} is kept when you withdraw."


def parts_terms(letterhead: Letterhead, pen: Pen) -> str:
    """The second deposit, in a sentence; empty for a shop without one."""
    if not letterhead.parts_deposit_rate:
        return ""
    return f"Parts are ordered once {pen.percent(letterhead.parts_deposit_rate)} of the price is paid."


def storage_terms(letterhead: Letterhead, pen: Pen) -> tuple[tuple[str, str], ...]:
    """Title and text; nothing when the shop takes no fee."""
    if not letterhead.storage_fee:
        return ()
    fee, days = pen.money(letterhead.storage_fee), letterhead.storage_free_days
    if not days:
        return (("Storage", f"{fee} a day from the day we tell you the bike is ready."),)
    free = f"{days} day{'' if days == 1 else 's'}"
    return (("Storage", f"free for {free} after we tell you the bike is ready, then {fee} a day."),)
