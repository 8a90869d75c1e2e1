"""A supplier's price list: looked over, applied; how its columns are headed is remembered for the next one."""

from __future__ import annotations

from collections.abc import Mapping

from django.contrib.auth.models import User
from django.db import transaction

from shop.importing.price_list import PricePlan, plan_price_list
from shop.importing.problems import FileError
from shop.models import ImportFile, Offer, Supplier, SupplierColumns
from shop.selectors.shop import shop_today
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.import_files import file_applied, kept_file

AT_ONCE = 500  # rows of one statement: SQLite takes some thousand values in it


@transaction.atomic
def price_list_apply(
    *, file: ImportFile, supplier: Supplier, headings: Mapping[str, str], shown: str, person: User
) -> ImportFile:
    """Change the offers exactly as was shown, and remember the columns. Applied once, it stays so.

    Prices are dated today. Raises Refused when the list or the offers are not as they were shown.
    """
    row = kept_file(file)
    if row.applied_at is not None:
        return row
    try:
        plan = plan_price_list(bytes(row.content), row.filename, supplier, headings, shop_today())
    except FileError as error:
        raise Refused(str(error)) from error
    if plan.problems:
        raise Refused("A row is wrong. Nothing is changed until every row is right.")
    if not plan.may_apply:
        raise Refused("There is nothing to change.")
    if plan.fingerprint != shown:
        raise Refused("The offers or the columns changed since the list was looked over. Look it over again.")
    _write(plan)
    SupplierColumns.objects.update_or_create(supplier=supplier, defaults={"headings": dict(plan.headings)})
    outcome = f"{len(plan.changes)} changed, {plan.unchanged} unchanged, {plan.unknown} not bought there"
    event_write(person=person, verb="price list read", subject=supplier.code, after=f"{row.filename}: {outcome}")
    return file_applied(row, outcome)


def _write(plan: PricePlan) -> None:
    offers, today = [], shop_today()
    for change in plan.changes:
        for name, value in change.after.items():
            setattr(change.offer, name, value)
        if "unit_cost" in change.after:
            change.offer.priced_on = today
        offers.append(change.offer)
    fields = {"priced_on", *(name for change in plan.changes for name in change.after)}  # a column less is time saved
    Offer.objects.bulk_update(offers, sorted(fields), batch_size=AT_ONCE)
