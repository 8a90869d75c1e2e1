"""Tables of components: kept when they are uploaded, applied when a person has seen what they would do."""

from __future__ import annotations

import hashlib
from datetime import timedelta
from pathlib import PurePath

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from shop.importing.files import MOST_BYTES
from shop.importing.problems import FileError
from shop.models import ImportFile
from shop.services.catalogue import component_import
from shop.services.errors import Refused

KEPT = timedelta(days=2)  # a file nobody applies is thrown away after this (our own choice)


@transaction.atomic
def import_file_keep(*, content: bytes, filename: str, person: User) -> ImportFile:
    """Keep a file to look it over. Older files nobody applied go. Raises Refused for one that is too large."""
    if len(content) > MOST_BYTES:
        raise Refused(f"The file has {len(content):,} bytes; {MOST_BYTES:,} is the most. Cut it into parts.", "file")
    ImportFile.objects.filter(applied_at__isnull=True, created_at__lt=timezone.now() - KEPT).delete()
    row = ImportFile(
        person=person,
        filename=PurePath(filename.replace("\\", "/")).name[:120] or "components",
        content=content,
        sha256=hashlib.sha256(content).hexdigest(),
    )
    row.full_clean(exclude=["person", "content"])
    row.save(force_insert=True)
    return row


@transaction.atomic
def import_file_apply(*, file: ImportFile, person: User, shown: str) -> ImportFile:
    """Apply a kept file, exactly as `shown` by its plan's fingerprint. Safe to repeat: applied once, it stays so.

    Raises Refused when the file or the catalogue is not as it was shown.
    """
    row = ImportFile.objects.select_for_update().get(pk=file.pk)
    if row.applied_at is not None:
        return row
    content = bytes(row.content)
    if hashlib.sha256(content).hexdigest() != row.sha256:
        raise Refused("The kept file is damaged. Upload it again.")
    try:
        plan = component_import(content=content, filename=row.filename, person=person, shown=shown)
    except FileError as error:
        raise Refused(str(error)) from error
    row.applied_at = timezone.now()
    row.outcome = f"{plan.added} added, {plan.changed} changed, {plan.unchanged} unchanged"
    row.content = b""
    row.save(update_fields=["applied_at", "outcome", "content"])
    return row
