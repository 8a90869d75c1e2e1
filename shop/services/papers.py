"""PDFs that stay: made once, kept under the hash of their bytes, served unchanged for ever."""

from __future__ import annotations

from hashlib import sha256
from typing import Any

from django.contrib.auth.models import User
from django.db import IntegrityError, transaction
from django.utils import timezone

from shop.documents import change_document, document_pdf, quote_document
from shop.documents.entry import entry_paper
from shop.documents.render import Document
from shop.documents.statement import statement_document
from shop.models import Build, ChangeOrder, Customer, IssuedPaper, LedgerEntry, PaperFile, PaperKind, QuoteVersion
from shop.selectors.documents import issued_quote
from shop.selectors.statements import Statement


def version_paper_keep(*, version: QuoteVersion, person: User | None = None) -> IssuedPaper:
    """The PDF of an offered version, made the first time it is asked for. Raises PdfUnavailable; safe to repeat."""
    kept = IssuedPaper.objects.select_related("file").filter(version=version, kind=PaperKind.QUOTE).first()
    if kept is not None:
        return kept
    return _kept(quote_document(issued_quote(version)), PaperKind.QUOTE, person, version=version)


def change_paper_keep(*, change: ChangeOrder, person: User | None = None) -> IssuedPaper:
    """The PDF of an offered change order, as above. Once both have agreed it is another paper: it says who and when."""
    kind = PaperKind.CHANGE if change.accepted_at is None else PaperKind.AGREED
    version = change.version
    kept = IssuedPaper.objects.select_related("file").filter(version=version, kind=kind).first()
    return kept or _kept(change_document(change), kind, person, version=version)


def entry_paper_keep(*, entry: LedgerEntry, person: User | None = None) -> IssuedPaper:
    """The PDF of an entry's paper, as above. A receipt that was reversed since is another paper: it says so.

    Raises PdfUnavailable, and LedgerEntry.DoesNotExist for an entry without a paper.
    """
    paper = entry_paper(entry)
    kept = IssuedPaper.objects.select_related("file").filter(entry=entry, kind=paper.kind).first()
    return kept or _kept(paper.document, paper.kind, person, entry=entry)


def statement_keep(
    *, statement: Statement, customer: Customer, build: Build | None, person: User | None
) -> IssuedPaper:
    """A statement as it stands now, made and kept: asked for again another day, it may say something else."""
    document = statement_document(statement, timezone.now())
    return _kept(document, PaperKind.STATEMENT, person, customer=customer, build=build, day=statement.day)


def _kept(document: Document, kind: PaperKind, person: User | None, **of: Any) -> IssuedPaper:
    """Two who ask at once get the same one."""
    data = document_pdf(document)
    digest = sha256(data).hexdigest()
    try:
        with transaction.atomic():
            file, _ = PaperFile.objects.get_or_create(sha256=digest, defaults={"data": data})
            paper = IssuedPaper(kind=kind, file=file, person=person, **of)
            paper.full_clean(exclude=["file", "person", *of], validate_constraints=False)
            paper.save(force_insert=True)
            return paper
    except IntegrityError:
        if kind == PaperKind.STATEMENT:
            raise
        return IssuedPaper.objects.select_related("file").get(kind=kind, **of)
