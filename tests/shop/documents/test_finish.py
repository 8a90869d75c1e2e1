"""The window and why, without the names of builders, suppliers, orders and other customers' builds."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from quoting import quote
from quoting.example import example_request
from quoting.request import StepLine
from quoting.result import Promise, Reason
from shop.documents.finish import finish_block, reason_words
from shop.documents.pen import Pen

PEN = Pen("en-US", "USD", "us")
REQUEST = example_request()
OPTION = replace(
    REQUEST.options[0], steps=(*REQUEST.options[0].steps, StepLine(code="paint", label="Paint", lead_days=20))
)
PART = Reason(kind="part", code="M-EX", text="The hub motor on order P-9 arrives.", until=date(2026, 3, 31))
BENCH = Reason(kind="bench", code="Electric 1", text="Build B-7 is first.", until=date(2026, 4, 2))
PERSON = Reason(kind="person", code="Robin", text="Wiring waits for Robin.", until=date(2026, 4, 3))
PAINT = Reason(kind="lead", code="paint", text="Paint is outside work.", until=date(2026, 4, 20))
LEAD = Reason(kind="lead", code="M-EX", text="A new motor takes 45 days from A Supplier.", until=date(2026, 3, 30))
WORK = Reason(kind="step", code="wire", text="Then 28 hours of work.", until=date(2026, 4, 3))


def promise(*reasons: Reason) -> Promise:
    return Promise(place=2, finish_from=date(2026, 4, 3), finish_to=date(2026, 4, 28), reasons=reasons)


@pytest.mark.parametrize(
    ("reasons", "words"),
    [
        ((PART, WORK), "Decided by the hub motor 8 kW, ready Mar 31, 2026."),
        (
            (PART, BENCH, WORK),
            "Decided by the hub motor 8 kW, ready Mar 31, 2026, then by a free bench and builder from Apr 2, 2026.",
        ),
        ((PERSON, WORK), "Decided by a free bench and builder from Apr 3, 2026."),
        ((PAINT,), "Decided by outside work, paint, back Apr 20, 2026."),
        (
            (LEAD, PART, BENCH, PAINT),  # the first cause and the last wait
            "Decided by the hub motor 8 kW, ready Mar 31, 2026, then by outside work, paint, back Apr 20, 2026.",
        ),
        ((WORK,), "Everything is at hand; the work itself decides."),
    ],
)
def test_one_sentence_why(reasons, words):
    assert reason_words(OPTION, promise(*reasons), PEN).replace("\xa0", " ") == words


def test_nobody_else_is_named():
    told = reason_words(OPTION, promise(LEAD, PART, BENCH, PERSON, PAINT, WORK), PEN)
    for name in ("Robin", "Supplier", "P-9", "B-7", "Electric 1"):
        assert name not in told


def test_the_window_and_the_place_as_of_the_quotes_day():
    block = finish_block(REQUEST, OPTION, quote(REQUEST).options[0].promise, PEN)
    assert block is not None
    assert (block.title, block.window) == ("Finished between", "Apr 3 – 28, 2026")
    assert block.place.replace("\xa0", " ") == "Place 2 in line as of Mar 2, 2026"


def test_a_single_day_is_no_span():
    day = replace(promise(WORK), finish_to=date(2026, 4, 3))
    block = finish_block(REQUEST, OPTION, day, PEN)
    assert block is not None
    assert (block.title, block.is_span) == ("Finished", False)


def test_a_kit_is_ready_to_ship():
    block = finish_block(replace(REQUEST, job="parts_kit"), OPTION, promise(PART), PEN)
    assert block is not None
    assert block.title == "Ready to ship between"


def test_without_a_promise_there_is_no_block():
    assert finish_block(REQUEST, OPTION, None, PEN) is None
