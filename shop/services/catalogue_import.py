"""Tables of components: applied when a person has seen what they would do."""

from __future__ import annotations

from django.contrib.auth.models import User
from django.db import transaction

from shop.importing.problems import FileError
from shop.models import ImportFile
from shop.services.catalogue import component_import
from shop.services.errors import Refused
from shop.services.import_files import file_applied, kept_file


@transaction.atomic
def import_file_apply(*, file: ImportFile, person: User, shown: str) -> ImportFile:
    """Apply a kept file, exactly as `shown` by its plan's fingerprint. Safe to repeat: applied once, it stays so.

    Raises Refused when the file or the catalogue is not as it was shown.
    """
    row = kept_file(file)
    if row.applied_at is not None:
        return row
    try:
        plan = component_import(content=bytes(row.content), filename=row.filename, person=person, shown=shown)
    except FileError as error:
        raise Refused(str(error)) from error
    return file_applied(row, f"{plan.added} added, {plan.changed} changed, {plan.unchanged} unchanged")
