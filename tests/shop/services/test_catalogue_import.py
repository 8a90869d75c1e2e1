"""Uploaded tables: kept, applied once, never another than was shown."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from shop.importing.files import MOST_BYTES
from shop.importing.plan import plan_import
from shop.models import Component, ImportFile
from shop.selectors.shop import shop_today
from shop.services.catalogue_import import import_file_apply
from shop.services.errors import Refused
from shop.services.import_files import file_keep
from tests.shop.importing.made_files import HEADING, ROW, csv_file, make_fuse
from tests.shop.made_parts import make_supplier

pytestmark = pytest.mark.django_db
CONTENT = csv_file(HEADING, ROW)


def shown(content: bytes = CONTENT) -> str:
    return plan_import(content, "parts.csv", shop_today()).fingerprint


def test_a_file_is_kept_and_applied_once(person):
    make_supplier()
    counter = person("counter")
    kept = file_keep(subject="components", content=CONTENT, filename="parts.csv", person=counter)
    assert not Component.objects.exists()
    applied = import_file_apply(file=kept, person=counter, shown=shown())
    assert applied.outcome == "1 added, 0 changed, 0 unchanged"
    assert bytes(applied.content) == b""
    Component.objects.all().delete()
    again = import_file_apply(file=kept, person=counter, shown="")
    assert again.applied_at == applied.applied_at
    assert not Component.objects.exists()


def test_a_path_in_the_name_is_cut_off(person):
    kept = file_keep(
        subject="components", content=CONTENT, filename="C:\\Users\\x\\..\\parts.csv", person=person("owner")
    )
    assert kept.filename == "parts.csv"


def test_too_large_a_file_is_not_kept(person):
    with pytest.raises(Refused) as refused:
        file_keep(subject="components", content=b"x" * (MOST_BYTES + 1), filename="parts.csv", person=person("owner"))
    assert refused.value.field == "file"
    assert not ImportFile.objects.exists()


def test_what_was_shown_decides(person):
    owner, supplier = person("owner"), make_supplier()
    kept = file_keep(subject="components", content=CONTENT, filename="parts.csv", person=owner)
    looked_at = shown()
    make_fuse(supplier)
    with pytest.raises(Refused, match="has changed"):
        import_file_apply(file=kept, person=owner, shown=looked_at)
    kept.refresh_from_db()
    assert kept.applied_at is None


def test_damaged_bytes_are_noticed(person):
    owner = person("owner")
    make_supplier()
    kept = file_keep(subject="components", content=CONTENT, filename="parts.csv", person=owner)
    ImportFile.objects.update(content=CONTENT.replace(b"28.50", b"2.850"))
    with pytest.raises(Refused, match="damaged"):
        import_file_apply(file=kept, person=owner, shown="")


def test_a_file_that_cannot_be_read_is_refused_in_words(person):
    owner = person("owner")
    kept = file_keep(subject="components", content=b"caf\xe9", filename="parts.csv", person=owner)
    with pytest.raises(Refused, match="not UTF-8"):
        import_file_apply(file=kept, person=owner, shown="")


def test_files_nobody_applied_go_after_two_days(person):
    owner = person("owner")
    old = file_keep(subject="components", content=CONTENT, filename="old.csv", person=owner)
    ImportFile.objects.filter(pk=old.pk).update(created_at=timezone.now() - timedelta(days=3))
    file_keep(subject="components", content=CONTENT, filename="new.csv", person=owner)
    assert list(ImportFile.objects.values_list("filename", flat=True)) == ["new.csv"]
