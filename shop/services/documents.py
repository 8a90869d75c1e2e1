"""Keeping what a document says on the day it is issued."""

from __future__ import annotations

from dataclasses import replace

from django.db import transaction

from quoting import to_json
from shop.models import DocumentFacts, LedgerEntry, QuoteVersion
from shop.selectors.document_facts import TaxedAtPayment, quote_facts_now, receipt_facts_now


@transaction.atomic
def quote_facts_keep(*, version: QuoteVersion) -> DocumentFacts:
    """Keep the letterhead, addressee, terms and decisions of a version that is being offered. Once; a repeat keeps
    what was kept first.
    """
    kept = DocumentFacts.objects.filter(version=version).first()
    return kept or DocumentFacts.objects.create(version=version, facts=to_json(quote_facts_now(version)))


@transaction.atomic
def receipt_facts_keep(*, entry: LedgerEntry, taxed: TaxedAtPayment | None = None) -> DocumentFacts:
    """Keep the standing of a build at a deposit: its place, its window, what is left to pay, and how it was `taxed`
    where it was. Once, as above.
    """
    kept = DocumentFacts.objects.filter(entry=entry).first()
    place = entry.build.place if entry.build and not entry.concerns else None
    if kept:
        return kept
    facts = replace(receipt_facts_now(entry, place=place), taxed=taxed)
    return DocumentFacts.objects.create(entry=entry, facts=to_json(facts))
