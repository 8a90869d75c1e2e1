"""Papers a browser asks for: as a page, as a PDF, or in words why there is none."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from shop.documents import document_html, document_pdf
from shop.documents.render import Document
from shop.models import IssuedPaper
from shop.pdf import PdfUnavailable
from shop.views.answers import IN_THE_WAY, found_or_404

UNAVAILABLE = 503  # RFC 9110 section 15.6.4
DRAFT = "This version is still a draft: nothing in it is fixed yet. Offer it at the Counter, then print it."


@dataclass(frozen=True)
class Paper:
    """A document with its addresses: as a page, as a PDF, and where its reader came from.

    `keep` gives the PDF as it was first made; None for a paper that is drawn anew from frozen figures each time.
    """

    document: Document
    name: str
    page_address: str
    pdf_address: str
    back_address: str
    keep: Callable[[], IssuedPaper] | None = None


def paper_page(request: HttpRequest, read: Callable[[], Paper | None], draft: str = DRAFT) -> HttpResponse:
    """`read` gives None for a draft, of which `draft` says what to do first."""
    paper = found_or_404(read)
    if paper is None:
        return _no_paper(request, draft, IN_THE_WAY)
    html = document_html(paper.document, pdf_address=paper.pdf_address, back_address=paper.back_address)
    return HttpResponse(html)


def paper_pdf(request: HttpRequest, read: Callable[[], Paper | None], draft: str = DRAFT) -> HttpResponse:
    """Shown in the browser; saved under its name when the address ends in ?download=1."""
    paper = found_or_404(read)
    if paper is None:
        return _no_paper(request, draft, IN_THE_WAY)
    try:
        if paper.keep is None:
            return _pdf(request, document_pdf(paper.document), paper.name)
        kept = paper.keep()
    except PdfUnavailable as reason:
        return _no_paper(request, str(reason), UNAVAILABLE, paper.page_address)
    return kept_pdf(request, kept, paper.name)


def kept_pdf(request: HttpRequest, kept: IssuedPaper, name: str) -> HttpResponse:
    """The bytes that were made the first time, under their hash."""
    answer = _pdf(request, bytes(kept.file.data), name)
    answer.headers["ETag"] = f'"{kept.file_id}"'
    return answer


def unlisted(answer: HttpResponse) -> HttpResponse:
    """The address itself is the key: no search engine keeps it, no other site is told it."""
    answer.headers["X-Robots-Tag"] = "noindex, nofollow, noarchive"
    answer.headers["Referrer-Policy"] = "no-referrer"
    return answer


def _pdf(request: HttpRequest, data: bytes, name: str) -> HttpResponse:
    how = "attachment" if "download" in request.GET else "inline"
    headers = {"Content-Disposition": f'{how}; filename="{name}.pdf"'}
    return HttpResponse(data, content_type="application/pdf", headers=headers)


def _no_paper(request: HttpRequest, reason: str, status: int, page_address: str = "") -> HttpResponse:
    context = {"reason": reason, "page_address": page_address}
    return render(request, "documents/unavailable.html", context, status=status)
