"""Labels with a code to scan that leads to the part's page in Stores."""

from __future__ import annotations

import pytest
from django.conf import settings
from django.urls import reverse

from shop.documents.labels import MOST_LABELS, label_sheet
from shop.models import Shop, StockUnit
from shop.pdf import missing_libraries
from tests.shop.made_day import Day
from tests.shop.made_parts import make_component
from tests.shop.views.guards import EVERYONE, assert_guarded


def test_a_label_leads_to_the_part_and_names_shelf_and_number(shop: Shop):
    motor = make_component("MOT-1", shelf="B 3")
    unit = StockUnit.objects.create(component=motor, serial="M-7")
    sheet = label_sheet([motor], copies=4, units=[unit])
    assert [len(row) for row in sheet.rows] == [3, 2]
    first, last = sheet.rows[0][0], sheet.rows[1][1]
    assert first.address == f"{settings.BASE_URL}{reverse('stock', args=[motor.public_id])}"
    assert first.address in first.drawing
    assert (first.shelf, first.serial, last.serial) == ("B 3", "", "M-7")
    with pytest.raises(ValueError, match="labels"):
        label_sheet([motor], copies=MOST_LABELS + 1)


@pytest.mark.skipif(bool(missing_libraries()), reason="this machine makes no PDF")
def test_labels_print_for_a_part_and_for_a_list(day: Day, client_as):
    assert_guarded(client_as, "stock-labels", day.motor.public_id, roles=EVERYONE)
    client = client_as("builder")
    for address in (
        f"{reverse('stock-labels', args=[day.motor.public_id])}?copies=many",
        f"{reverse('stores-labels')}?kind=motor",
    ):
        answer = client.get(address)
        assert (answer.status_code, answer.content[:5]) == (200, b"%PDF-")
