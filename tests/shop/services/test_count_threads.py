"""One count pressed at several tills at the same moment is posted once."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from functools import partial

from django.contrib.auth.models import User

from shop.models import Component, ImportFile, ImportSubject, StockMove, StockUnit
from shop.services.count_import import count_file_apply
from shop.services.errors import Refused
from shop.services.import_files import file_keep
from shop.services.stock_count import stock_receive
from tests.shop import made_shop
from tests.shop.importing.made_files import csv_file
from tests.shop.made_parts import make_component
from tests.shop.made_tables import count_plan
from tests.shop.threads import Threads

TILLS = 4
LINES = ("code,counted,serials", "MOT-1,3,M-1;M-2;M-3")


def test_one_count_at_four_tills_is_posted_once(
    threads: Callable[[], Threads], morning: datetime, person: Callable[[str], User]
) -> None:
    """Half of the tills uploaded the same file themselves: their press is refused, the shelf is like that already."""
    made_shop.make_whole_shop()
    till, motor = person("counter"), make_component("MOT-1")
    stock_receive(component=motor, quantity=Decimal(1), serials=["M-1"], person=till)
    shown = count_plan(*LINES).fingerprint
    files = [_kept(till) for _ in range(2)]
    tills = threads()
    answers = tills.run(
        [partial(count_file_apply, file=files[number % 2], person=till, shown=shown) for number in range(TILLS)]
    )
    wrong = [answer for answer in answers if isinstance(answer, Exception)]
    assert (len(wrong), {type(each) for each in wrong}) == (2, {Refused})
    assert tills.look(_posted) == ([Decimal(2)], ["M-1", "M-2", "M-3"], 1)


def _kept(till: User) -> ImportFile:
    return file_keep(subject=ImportSubject.COUNTS, content=csv_file(*LINES), filename="march.csv", person=till)


def _posted() -> tuple[list[Decimal], list[str], int]:
    motor = Component.objects.get(code="MOT-1")
    moves = StockMove.objects.filter(component=motor, kind="counted")
    units = StockUnit.objects.filter(component=motor, place="shelf").order_by("serial")
    return (
        list(moves.values_list("on_hand", flat=True)),
        list(units.values_list("serial", flat=True)),
        ImportFile.objects.filter(applied_at__isnull=False).count(),
    )
