"""Past purchases from a file: for lead times. Stock on hand stays as it is."""

from __future__ import annotations

from django.contrib.auth.models import User

from shop.importing.past_purchases import plan_purchases
from shop.importing.problems import FileError
from shop.models import ImportFile, PastPurchase
from shop.selectors.shop import shop_today
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.import_files import file_applied, kept_file, problems_guard
from shop.services.line_lock import line_lock

AT_ONCE = 500  # rows of one statement


def purchase_file_apply(*, file: ImportFile, person: User | None, shown: str) -> ImportFile:
    """Add and change past purchases exactly as `shown` by the plan's fingerprint. Applied once, it stays so.

    Raises Refused when the file or what is kept is not as it was shown.
    """
    with line_lock():  # measured lead times move what is to be expected
        row = kept_file(file)
        if row.applied_at is not None:
            return row
        try:
            plan = plan_purchases(bytes(row.content), row.filename, shop_today())
        except FileError as error:
            raise Refused(str(error)) from error
        if plan.fingerprint != shown:
            raise Refused("What is kept has changed since this was shown. Look the file over again.")
        problems_guard(plan.problems)
        if not plan.may_apply:
            raise Refused("These purchases are kept already. There is nothing to apply.")
        outcome = ", ".join(f"{number} {label.lower()}" for label, number in plan.summary)
        new: list[PastPurchase] = []
        changed: list[PastPurchase] = []
        for each in plan.rows:
            (new if each.pk is None else changed).append(each)
        for each in new:
            each.person = person
        PastPurchase.objects.bulk_create(new, batch_size=AT_ONCE)
        PastPurchase.objects.bulk_update(changed, ["quantity", "unit_cost", "currency"], batch_size=AT_ONCE)
        event_write(person=person, verb="past purchases read", subject="orders", after=f"{row.filename}: {outcome}")
        return file_applied(row, outcome)
