"""Which components need a serial number: as is usual for their kind, until somebody ticks otherwise."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import Component, Event, Shop
from shop.services.catalogue import component_import
from shop.services.errors import Refused
from shop.services.stock_count import stock_receive
from tests.shop.importing.made_files import csv_file
from tests.shop.made_counter import text
from tests.shop.made_parts import make_component

ONE = Decimal(1)


@pytest.fixture
def counter(shop: Shop, client_as: Callable[[str], Client]) -> Client:
    return client_as("counter")


def saved(client: Client, component: Component, **sent: str) -> Any:
    """The component's form sent as it stands, with some fields otherwise; `needs_serial=""` unticked."""
    address = reverse("component-edit", args=[component.public_id])
    form = client.get(address).context["form"]
    shown = {field.name: field.value() for field in form}
    values = {name: value for name, value in shown.items() if value not in (None, False, "")}
    values = {**values, **{name: value for name, value in sent.items() if value}}
    answer = client.post(address, {name: value for name, value in values.items() if sent.get(name) != ""})
    component.refresh_from_db()
    return answer


def test_saving_the_form_as_it_stands_leaves_it_to_the_kind(counter: Client) -> None:
    for code, numbered in (("MOT-1", True), ("FUS-1", False), ("CEL-1", False)):
        component = make_component(code)
        assert saved(counter, component).status_code == 302
        assert (component.needs_serial, component.numbered) == (None, numbered)
    assert not Event.objects.filter(after__contains="needs serial").exists()


def test_a_tick_makes_a_part_numbered_and_takes_it_back(counter: Client) -> None:
    fuse = make_component("FUS-1")
    with pytest.raises(Refused, match="not kept by serial number"):
        stock_receive(component=fuse, quantity=ONE, serials=["F-1"], person=None)
    assert saved(counter, fuse, needs_serial="on").status_code == 302
    assert fuse.numbered
    stock_receive(component=fuse, quantity=ONE, serials=["F-1"], person=None)
    refused = saved(counter, fuse, needs_serial="")
    assert (refused.status_code, fuse.numbered) == (422, True)
    assert "It stays until they are gone" in text(refused)


def test_a_motor_without_numbers_asks_for_none(counter: Client) -> None:
    motor = make_component("MOT-1")
    assert saved(counter, motor, needs_serial="").status_code == 302
    assert (motor.needs_serial, motor.numbered) == (False, False)
    page = counter.get(reverse("stock-receive", args=[motor.public_id]))
    assert 'name="serials"' not in text(page)


def test_what_comes_by_batch_or_meter_is_not_asked(counter: Client) -> None:
    for kind in ("cell", "cable"):
        assert "needs_serial" not in text(counter.get(reverse("component-new", args=[kind])))
    assert "needs_serial" in text(counter.get(reverse("component-new", args=["motor"])))


def test_a_file_says_so_too(shop: Shop) -> None:
    fuse, cells = make_component("FUS-1"), make_component("CEL-1")
    lines = ("code,needs_serial", "FUS-1,yes")
    assert component_import(content=csv_file(*lines), filename="f.csv", person=None).changed == 1
    assert component_import(content=csv_file(*lines), filename="f.csv", person=None).changed == 0
    fuse.refresh_from_db()
    assert fuse.numbered
    stock_receive(component=fuse, quantity=ONE, serials=["F-1"], person=None)
    for cell in ("no", ""):  # by saying so, or by leaving it to the kind
        with pytest.raises(Refused, match="It stays until they are gone"):
            component_import(content=csv_file(lines[0], f"FUS-1,{cell}"), filename="f.csv", person=None)
    with pytest.raises(Refused, match="needs_serial: What is kept by the batch"):
        component_import(content=csv_file("code,needs_serial", f"{cells.code},yes"), filename="f.csv", person=None)
