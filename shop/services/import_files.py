"""A file kept between looking it over and applying it, whatever it is of."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from datetime import timedelta
from pathlib import PurePath

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from shop.importing.files import MOST_BYTES
from shop.importing.problems import RowProblem
from shop.models import ImportFile, ImportSubject
from shop.services.errors import Refused

KEPT = timedelta(days=2)  # a file nobody applies is thrown away after this (our own choice)


@transaction.atomic
def file_keep(
    *,
    subject: str,
    content: bytes,
    filename: str,
    person: User,
    choices: Mapping[str, object] | None = None,
    most_bytes: int = MOST_BYTES,
    smaller: str = "Cut it into parts.",
) -> ImportFile:
    """Keep a file to look it over. Older ones nobody applied go. Raises Refused for one that is too large.

    `choices` go with it to where it is applied; `smaller` says how to get below `most_bytes`.
    """
    if len(content) > most_bytes:
        raise Refused(f"The file has {len(content):,} bytes; {most_bytes:,} is the most. {smaller}", "file")
    ImportFile.objects.filter(applied_at__isnull=True, created_at__lt=timezone.now() - KEPT).delete()
    row = ImportFile(
        person=person,
        subject=subject,
        filename=PurePath(filename.replace("\\", "/")).name[:120] or ImportSubject(subject).label,
        content=content,
        sha256=hashlib.sha256(content).hexdigest(),
        choices=dict(choices or {}),
    )
    row.full_clean(exclude=["person", "content"])
    row.save(force_insert=True)
    return row


def kept_file(file: ImportFile) -> ImportFile:
    """The row under lock, to be applied. Refused when its bytes are not those that were uploaded."""
    row = ImportFile.objects.select_for_update().get(pk=file.pk)
    if row.applied_at is None and hashlib.sha256(bytes(row.content)).hexdigest() != row.sha256:
        raise Refused("The kept file is damaged. Upload it again.")
    return row


def problems_guard(problems: tuple[RowProblem, ...]) -> None:
    """Nothing of a file is applied while a row of it is wrong."""
    if problems:
        more = f" And {len(problems) - 1} more." if len(problems) > 1 else ""
        raise Refused(f"Nothing was changed. {problems[0]}{more}")


def file_applied(row: ImportFile, outcome: str) -> ImportFile:
    """It is done: the outcome stays, the bytes go."""
    row.applied_at, row.outcome, row.content = timezone.now(), outcome[:120], b""
    row.save(update_fields=["applied_at", "outcome", "content"])
    return row
