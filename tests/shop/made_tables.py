"""Files of counts and past purchases, applied as a person would."""

from __future__ import annotations

import csv
import io

from django.contrib.auth.models import User

from shop.importing.count_plan import CountPlan, plan_counts
from shop.importing.count_rows import COLUMNS
from shop.importing.past_purchases import PurchasePlan, plan_purchases
from shop.importing.sheets import sheet_file
from shop.models import ImportFile, ImportSubject
from shop.selectors.sheets import count_rows
from shop.selectors.shop import shop_today
from shop.services.count_import import count_file_apply
from shop.services.import_files import file_keep
from shop.services.purchase_import import purchase_file_apply
from tests.shop.importing.made_files import csv_file


def counted(person: User, *lines: str) -> ImportFile:
    """A count looked over and applied."""
    content = csv_file(*lines)
    file = file_keep(subject=ImportSubject.COUNTS, content=content, filename="march.csv", person=person)
    return count_file_apply(file=file, person=person, shown=count_plan(*lines).fingerprint)


def count_plan(*lines: str) -> CountPlan:
    return plan_counts(csv_file(*lines), "march.csv")


def bought(person: User, *lines: str) -> ImportFile:
    content = csv_file(*lines)
    file = file_keep(subject=ImportSubject.PURCHASES, content=content, filename="old.csv", person=person)
    return purchase_file_apply(file=file, person=person, shown=purchase_plan(*lines).fingerprint)


def purchase_plan(*lines: str) -> PurchasePlan:
    return plan_purchases(csv_file(*lines), "old.csv", shop_today())


def count_sheet() -> list[dict[str, str]]:
    """The exported count sheet, read back."""
    content = sheet_file("counts", [column.name for column in COLUMNS], count_rows(), "csv")
    return list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"))))
