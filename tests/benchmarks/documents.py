"""How long documents take, from frozen data to a page and to a PDF.

Run by hand: python -m tests.benchmarks.documents. Prints milliseconds of the clock and of the processor; on a machine
that does other things as well, the second tells.
"""

from __future__ import annotations

import os
import statistics
import sys
import time
from collections.abc import Callable

os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"

import django

django.setup()

from shop.documents import document_html, document_pdf, quote_document, receipt_document  # noqa: E402 - needs setup
from tests.shop.documents.made_issued import make_issued, make_options, make_receipt  # noqa: E402 - as above

PDF_MS = 600.0  # aim: a normal quote while somebody waits for it
ROUNDS = 15


def measured(work: Callable[[], object]) -> tuple[float, float]:
    """Median milliseconds of the clock and of the processor, the first round left out."""
    clock, processor = [], []
    for _ in range(ROUNDS + 1):
        start, busy = time.perf_counter(), time.process_time()
        work()
        clock.append((time.perf_counter() - start) * 1000)
        processor.append((time.process_time() - busy) * 1000)
    return statistics.median(clock[1:]), statistics.median(processor[1:])


def main() -> None:
    one, three, receipt = make_issued(), make_issued(make_options(10, 12, 13)), make_receipt()
    documents = {"one option": quote_document(one), "three options": quote_document(three)}
    works: dict[str, Callable[[], object]] = {
        "words of a quote with three options": lambda: quote_document(three),
        "page of it": lambda: document_html(documents["three options"]),
        "PDF, one option": lambda: document_pdf(documents["one option"]),
        "PDF, three options": lambda: document_pdf(documents["three options"]),
        "PDF of a receipt": lambda: document_pdf(receipt_document(receipt)),
    }
    sys.stdout.write(f"{'':40}{'clock':>9}{'processor':>11}\n")
    for name, work in works.items():
        clock, processor = measured(work)
        sys.stdout.write(f"{name:40}{clock:>6.0f} ms{processor:>8.0f} ms\n")
    _, processor = measured(works["PDF, one option"])
    sys.stdout.write(f"a quote with one option takes {processor / PDF_MS:.2f} of the {PDF_MS:.0f} ms aimed at\n")


if __name__ == "__main__":
    main()
