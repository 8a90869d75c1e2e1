"""When it would be finished, as the customer reads it: a window, a place, and one sentence why.

The engine's reasons name builders, suppliers, order numbers and other customers' builds. Here only the part, the
outside work or "a free bench" is named.
"""

from __future__ import annotations

from dataclasses import dataclass

from quoting.request import Option, QuoteRequest
from quoting.result import Promise, Reason
from shop.documents.pen import Pen, mid_sentence

CLAUSES = 2  # the first cause and the last wait after it: one sentence (our own choice)


@dataclass(frozen=True)
class FinishBlock:
    """`is_span` when the window has two days, of which a word is said."""

    title: str
    window: str
    is_span: bool
    place: str
    reason: str


def finish_block(request: QuoteRequest, option: Option, promise: Promise | None, pen: Pen) -> FinishBlock | None:
    """None without a promise; `window` says so when there is no date."""
    if promise is None:
        return None
    is_span = promise.finish_from != promise.finish_to
    done = "Ready to ship" if request.job == "parts_kit" else "Finished"
    return FinishBlock(
        title=f"{done} between" if is_span else done,
        is_span=is_span,
        window=pen.window(promise.finish_from, promise.finish_to),
        place=f"Place {promise.place} in line as of {pen.day(request.day)}",
        reason=reason_words(option, promise, pen),
    )


def reason_words(option: Option, promise: Promise, pen: Pen) -> str:
    """ "Decided by the hub motor, ready March 31, then by a free bench from April 2." """
    clauses = [clause for reason in promise.reasons if (clause := _clause(reason, option, pen))]
    if not clauses:
        return "Everything is at hand; the work itself decides." if promise.finish_from else ""
    chosen = list(dict.fromkeys([clauses[0], clauses[-1]]))[:CLAUSES]
    return f"Decided by {', then by '.join(chosen)}."


def _clause(reason: Reason, option: Option, pen: Pen) -> str:
    until = pen.day(reason.until)
    if reason.kind == "part" and reason.until:
        names = {part.code: mid_sentence(part.name) for part in option.parts}
        return f"the {names.get(reason.code, 'parts')}, ready {until}"
    if reason.kind == "lead" and reason.until:
        labels = {step.code: mid_sentence(step.label) for step in option.steps}
        return f"outside work, {labels[reason.code]}, back {until}" if reason.code in labels else ""
    if reason.kind in {"bench", "person"} and reason.until:
        return f"a free bench and builder from {until}"
    return ""
