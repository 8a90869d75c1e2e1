"""One valid row of each table that has constraints, not saved yet, to be tried with one value changed."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, time
from decimal import Decimal
from typing import Any

from django.contrib.auth.models import User
from django.db.models import Model

from shop import models
from tests.shop.made_builds import make_accepted, make_build, make_order, make_order_line
from tests.shop.made_parts import make_component, make_family, make_offer, make_supplier
from tests.shop.made_quotes import make_draft
from tests.shop.made_shop import make_bench_type, make_customer, make_tax_place

DAY, NEXT = date(2026, 3, 2), date(2026, 3, 3)
NOON, ONE = datetime(2026, 3, 2, 12, tzinfo=UTC), datetime(2026, 3, 2, 13, tzinfo=UTC)
Values = dict[str, Any]


def option() -> models.QuoteOption:
    return make_draft("Q-77").options.create(key="A")


def build_values() -> Values:
    customer = make_customer()
    return {
        "number": "B-5",
        "version": make_accepted("Q-5", customer),
        "option_key": "A",
        "customer": customer,
        "job": "conversion",
        "title": "Anvil",
        "place": 5,
        "total": Decimal(1),
        "accepted_at": NOON,
    }


def entry_values() -> Values:
    build = make_build()
    return {
        "number": 1,
        "kind": "deposit",
        "day": DAY,
        "build": build,
        "customer": build.customer,
        "method": "cash",
        "receipt": "R-1",
        "key": "k",
    }


REPLAN_HOURS = ("lateness_before_h", "lateness_h", "lateness_bound_h", "flow_before_h", "flow_h", "flow_bound_h")


def steps_of_one_build() -> list[models.BuildStep]:
    """The first two steps of the one build there is, made when there is none."""
    build = models.Build.objects.first() or make_build(steps=True)
    return list(build.steps.all()[:2])


def entry() -> models.LedgerEntry:
    return models.LedgerEntry.objects.create(**entry_values())


def paper_file() -> models.PaperFile:
    return models.PaperFile.objects.create(sha256="0" * 64, data=b"%PDF-1.7")


def component(code: str = "MOT-1") -> models.Component:
    return models.Component.objects.filter(code=code).first() or make_component(code)


def bench() -> models.Bench:
    return models.Bench.objects.create(name="Fab 9", bench_type=make_bench_type("fab"))


def rate_values() -> Values:
    return {
        "authority": make_tax_place().authorities.get(level="state"),
        "tax_class": "parts",
        "rate": Decimal("0.07"),
        "begin": date(2019, 1, 1),
        "end": date(2019, 12, 31),
    }


def change_values() -> dict[str, Any]:
    base = changed_base()
    build = base.build
    version = models.QuoteVersion.objects.create(quote=base.quote, number=2)
    return {"number": "B-1-C1", "build": build, "base": base, "version": version, "reason": "more"}


MAKERS: dict[type[Model], Callable[[], Values]] = {
    models.Bay: lambda: {"family": make_family(), "name": "tail", "length_mm": 1, "width_mm": 1, "height_mm": 1},
    models.BenchDowntime: lambda: {"bench": bench(), "first": DAY, "last": NEXT},
    models.Build: build_values,
    models.BuildStep: lambda: {"build": make_build(), "position": 1, "code": "pack", "label": "Pack"},
    models.CheckDecision: lambda: {"option": option(), "rule": "vin", "reason": "seen"},
    models.ClosedDays: lambda: {"first": DAY, "last": NEXT},
    models.Component: lambda: {"code": "X-1", "kind": "fuse", "name": "fuse"},
    models.CountrySheet: lambda: {"code": "x", "name": "X", "as_of": DAY},
    models.Customer: lambda: {"name": "Robin Example"},
    models.ExemptCertificate: lambda: {"customer": make_customer(), "number": "X-1"},
    models.DocumentFacts: lambda: {"entry": entry(), "facts": {}},
    models.Donor: lambda: {"family": make_family(), "vin": "AB-12345"},
    models.DonorFamily: lambda: {"code": "x", "name": "X"},
    models.EntryTax: lambda: {
        "entry": entry(),
        "position": 1,
        "authority": "State of Example",
        "level": "state",
        "taxable": Decimal(100),
        "amount": Decimal(6),
    },
    models.BookedPlan: lambda: {"pk": 1, "worked_out_at": NOON, "revision": 1},
    models.BookedStep: lambda: {
        "step": steps_of_one_build()[0],
        "who": models.Person.objects.create(name="Ana"),
        "changed_at": NOON,
    },
    models.Feed: lambda: {
        "kind": "finishes",
        "label": "My phone",
        "token_sha256": "0" * 64,
        "key": "k",
        "made_by": User.objects.create_user("owner"),
    },
    models.PlanOdds: lambda: {
        "revision": 1,
        "day": DAY,
        "read_at": NOON,
        "samples": 40,
        "seed": 1,
        "compiled": False,
        "hours_center": 0.0,
        "hours_spread": 0.1,
        "from_level": 50.0,
        "to_level": 80.0,
        "timelines": b"",
        "few_timelines": b"",
    },
    models.Replan: lambda: {
        "revision": 1,
        "method": "list search",
        "ended_lateness": "proved",
        "ended_flow": "work",
        **dict.fromkeys(REPLAN_HOURS, 1.0),
        "builds": [],
        "steps": [],
    },
    models.StepTurn: lambda: {
        "first": steps_of_one_build()[0],
        "then": steps_of_one_build()[1],
        "reason": "Because",
    },
    models.Trial: lambda: {"key": "k", "revision": 1, "question": {}},
    models.ExchangeRate: lambda: {"currency": "EUR", "day": DAY, "rate": Decimal(1)},
    models.ImportFile: lambda: {
        "person": User.objects.create_user("importer"),
        "filename": "x.csv",
        "content": b"code",
        "sha256": "0" * 64,
    },
    models.IssuedPaper: lambda: {"kind": "receipt", "entry": entry(), "file": paper_file()},
    models.ExpectedDateChange: lambda: {"line": make_order_line(component(), 1), "reason": "late"},
    models.Leave: lambda: {"person": models.Person.objects.create(name="Ana"), "first": DAY, "last": NEXT},
    models.LedgerEntry: entry_values,
    models.LineLock: lambda: {"pk": 1},
    models.Offer: lambda: {
        "component": component(),
        "supplier": make_supplier(),
        "unit_cost": Decimal(1),
        "priced_on": DAY,
    },
    models.OpeningHours: lambda: {"weekday": 0, "start": time(8), "end": time(12)},
    models.OptionExtra: lambda: {"option": option(), "kind": "fee", "label": "x", "amount": Decimal(1)},
    models.OptionPart: lambda: {"option": option(), "component": component()},
    models.OptionStep: lambda: {"option": option(), "position": 1, "code": "pack", "label": "Pack"},
    models.PartNeed: lambda: {"build": make_build(), "component": component(), "quantity": Decimal(1)},
    models.Posting: lambda: {"entry": entry(), "debit": "cash", "credit": "deposits", "amount": Decimal(1)},
    models.PromiseEntry: lambda: {
        "build": make_build(),
        "kind": "first",
        "finish_from": DAY,
        "finish_to": NEXT,
        "revision": 1,
    },
    models.PurchaseOrder: lambda: {
        "number": "P-9",
        "supplier": make_supplier(),
        "state": "sent",
        "ordered_on": DAY,
    },
    models.PastPurchase: lambda: {
        "supplier": make_supplier(),
        "component": component(),
        "ordered_on": DAY,
        "received_on": NEXT,
        "quantity": Decimal(1),
        "currency": "USD",
    },
    models.PurchaseOrderLine: lambda: {
        "order": make_order(),
        "component": component(),
        "quantity": Decimal(1),
        "unit_cost": Decimal(1),
    },
    models.QuoteOption: lambda: {"version": make_draft("Q-77"), "key": "A"},
    models.QuoteVersion: lambda: {"quote": models.Quote.objects.create(number="Q-78")},
    models.RoutingStep: lambda: {
        "job": "conversion",
        "family": make_family(),
        "position": 1,
        "code": "pack",
        "label": "Pack",
    },
    models.Shop: lambda: {"pk": 1, "name": "Shop", "address": "1 Lane"},
    models.Skill: lambda: {"code": "paint", "label": "Paint", "rate": Decimal(1), "cost_rate": Decimal(1)},
    models.Lending: lambda: {
        "lender": two_needs()[0],
        "borrower": two_needs()[1],
        "quantity": Decimal(1),
        "assured": Decimal(1),
        "reason": "fits sooner",
        "key": "k",
    },
    models.Mail: lambda: {
        "to": "orders@example.com",
        "subject": "Order P-9",
        "body": "Please send",
        "order": make_order(),
        "key": "k",
    },
    models.OfferBreak: lambda: {
        "offer": make_offer(component(), priced_on=DAY),
        "from_quantity": Decimal(5),
        "unit_cost": Decimal(1),
    },
    models.Substitute: lambda: {"component": component(), "stand_in": component("FUS-1")},
    models.StockUnit: lambda: {"component": component(), "serial": "M-1"},
    models.UnitMove: lambda: {"unit": a_unit(), "move": a_move()},
    models.StockMove: lambda: {"component": component(), "kind": "received", "on_hand": Decimal(1)},
    models.SupplierClosure: lambda: {"supplier": make_supplier(), "first": DAY, "last": NEXT},
    models.TaxAuthority: lambda: {"name": "State of Example", "level": "state"},
    models.TaxPlaceAuthority: lambda: {
        "place": make_tax_place(),
        "authority": models.TaxAuthority.objects.create(name="Elsewhere", level="city"),
    },
    models.TaxRate: rate_values,
    models.TaxBoundary: lambda: {"state": "98", "kind": "Z", "zip_low": "98001", "zip_high": "98009", "begin": DAY},
    models.ChangeOrder: change_values,
}


def changed_base() -> models.QuoteVersion:
    """The version a build was made by, the same each time."""
    return (models.Build.objects.first() or make_build()).version


def two_needs() -> list[models.PartNeed]:
    """Of two builds for one part, the same two each time."""
    if not models.PartNeed.objects.exists():
        for place in (1, 2):
            models.PartNeed.objects.create(build=make_build(place), component=component(), quantity=Decimal(1))
    return list(models.PartNeed.objects.order_by("pk"))


def a_unit(serial: str = "M-1") -> models.StockUnit:
    return models.StockUnit.objects.create(component=component(), serial=serial)


def a_move() -> models.StockMove:
    return models.StockMove.objects.create(component=component(), kind="received", on_hand=Decimal(1))


def need() -> models.PartNeed:
    return models.PartNeed.objects.create(build=make_build(), component=component(), quantity=Decimal(9))
