"""No false alarms: the demo's sound builds, asked of the whole engine, give no stop and at most two checks each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from django.contrib.auth.models import User

from quoting import quote
from quoting.request import QuoteRequest
from quoting.result import OptionResult
from shop.demo.bikes import load_families, load_routing
from shop.demo.catalogue import load_catalogue
from shop.demo.clock import Clock
from shop.demo.combos import Combos
from shop.demo.country import load_country_sheets
from shop.demo.premises import load_numbers, load_premises
from shop.demo.taxes import load_taxes
from shop.models import DonorFamily, QuoteVersion
from shop.selectors.requests import quote_request
from shop.selectors.shop import shop_today
from shop.services.customers import customer_save
from shop.services.donors import donor_save
from shop.services.quotes import quote_start

MOST_CHECKS = 2
pytestmark = pytest.mark.django_db


@dataclass(frozen=True)
class Asked:
    """A sound build as a quote: what was asked and what came of it."""

    name: str
    request: QuoteRequest
    result: OptionResult


def asked() -> Iterator[Asked]:
    """Every build of the demo that is a whole bike, each on a bike of its family with its papers seen."""
    clock = Clock(shop_today())
    load_premises(clock)
    load_numbers()
    load_taxes(clock)
    load_country_sheets(clock)
    owner = User.objects.get(username="owner")
    load_families()
    load_routing()
    load_catalogue(owner)
    combos = Combos()
    customer = customer_save(person=owner, name="Robin Example")
    families = {family.code: family for family in DonorFamily.objects.all()}
    for number, (name, build) in enumerate(combos.builds.items()):
        if "series" not in build:
            continue
        family = families[build["family"]]
        donor = donor_save(
            person=owner, family=family, owner=customer, year=1978, vin=f"AB-{1000 + number}", title_seen=True,
            stolen_check_done=True,
        )  # fmt: skip
        started = quote_start(person=owner, donor=donor)
        version = QuoteVersion.objects.get(quote=started)
        combos.put_on(version.options.get(), name, owner)
        request = quote_request(version)
        yield Asked(name, request, quote(request).options[0])


def test_sound_builds_spanning_the_catalogue_raise_no_alarm() -> None:
    every = list(asked())
    loud = {
        each.name: [f"{finding.level} {finding.rule}" for finding in each.result.findings if finding.level != "note"]
        for each in every
        if each.result.at_level("stop") or len(each.result.at_level("check")) > MOST_CHECKS
    }
    assert loud == {}
    assert len(every) >= 10
    specs = [part.spec for each in every for part in each.request.options[0].parts]
    kinds = {part.kind for each in every for part in each.request.options[0].parts}
    donors = [each.request.donor for each in every]
    assert {spec["mount"] for spec in specs if "mount" in spec} == {"hub", "mid"}
    assert {spec["chemistry"] for spec in specs if "chemistry" in spec} >= {"nmc", "lfp"}
    assert {"cell", "module", "final_drive", "adapter"} <= kinds
    assert {donor.frame_kind for donor in donors if donor} == {"cradle", "stressed"}
    assert len({donor.family for donor in donors if donor}) >= 8
    full_v = {round(each.result.pack.full_v or 0) for each in every if each.result.pack}
    assert min(full_v) < 60 < max(full_v)
    assert all(each.result.rules_checked >= 90 for each in every)
