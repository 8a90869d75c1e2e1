"""The page of spec fields covers every field of every kind."""

from __future__ import annotations

import html
import re

import pytest
from django.test import Client
from django.urls import reverse

from quoting.parts import KINDS, spec_fields
from quoting.rules import all_rules
from shop.models import Shop
from tests.shop.made_counter import text


@pytest.fixture
def shown(shop: Shop, client_as) -> str:
    return html.unescape(text(client_as("counter").get(reverse("catalogue-fields"))))


def test_every_kind_has_a_section_with_every_field(shown: str) -> None:
    for code, kind in KINDS.items():
        section = shown.partition(f'<section class="sheet" id="{code}"')[2].partition("</section>")[0]
        assert kind.label in section
        assert f'href="#{code}"' in shown
        for field in spec_fields(kind.part_type):
            assert f"{field.label}<small>{field.name}</small>" in section
            assert field.help in section


def test_limits_and_rules_stand_beside_a_field(shown: str) -> None:
    controller = shown.partition('id="controller"')[2].partition("</section>")[0]
    row = controller.partition("<small>max_v</small>")[2].partition("</tr>")[0]
    assert "10 to 1,000 V" in row
    rules = re.findall(r"<code>", row)
    assert len(rules) >= 3
    assert f"{len(rules)} rules" in row
    assert "<code>pack-full-over-controller-max</code>" in row


def test_no_rule_is_named_that_is_not_there(shown: str) -> None:
    assert set(re.findall(r"<code>([a-z0-9-]+)</code>", shown)) <= {rule.id for rule in all_rules()}


def test_staff_may_read_it_and_it_is_linked(shop: Shop, client_as) -> None:
    address = reverse("catalogue-fields")
    assert {client_as(role).get(address).status_code for role in ("owner", "counter", "builder")} == {200}
    assert Client().get(address).status_code == 302
    assert client_as("owner").post(address).status_code == 405
    assert address in text(client_as("counter").get(reverse("catalogue")))
