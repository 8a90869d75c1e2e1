"""An invented shop for tests: Harbor Lane Electrics, hours, people, benches, tax, steps. Every figure is made up."""

from __future__ import annotations

from datetime import date, time
from decimal import Decimal

from shop.models import (
    Bench,
    BenchType,
    Customer,
    Job,
    OpeningHours,
    Person,
    RoutingStep,
    Shop,
    Skill,
    TaxAuthority,
    TaxClass,
    TaxPlace,
    TaxPlaceAuthority,
    TaxRate,
)

RATES_FROM = date(2020, 1, 1)
SKILLS = {
    "fabrication": ("Fabrication", "95", "40", TaxClass.FABRICATION),
    "electric": ("Electrics", "110", "45", TaxClass.FABRICATION),
    "repair": ("Repair", "90", "38", TaxClass.REPAIR),
}
STEPS = (
    ("teardown", "Take the engine out", "repair", "fab", "4", "6", "9", ()),
    ("mounts", "Make the mounts", "fabrication", "fab", "8", "12", "18", ("enclosure",)),
    ("pack", "Build the pack", "electric", "pack", "10", "14", "20", ("cell", "bms")),
    ("wiring", "Wire and set up", "electric", "pack", "6", "9", "14", ("motor", "controller")),
    ("road-test", "Test", "repair", "fab", "2", "3", "5", ()),
)


def make_shop(**changed: object) -> Shop:
    """The settings row, open Monday to Friday 8 to 12 and 13 to 17."""
    settings: dict[str, object] = {
        "name": "Harbor Lane Electrics",
        "address": "1 Harbor Lane\nPort Example",
        "zone": "America/New_York",
        "contingency_rate": Decimal("0.05"),
        "deposit_terms": "Held until parts are ordered.",
        **changed,
    }
    shop, _ = Shop.objects.update_or_create(pk=1, defaults=settings)
    for weekday in range(5):
        for start, end in ((8, 12), (13, 17)):
            OpeningHours.objects.get_or_create(weekday=weekday, start=time(start), end=time(end))
    return shop


def make_skill(code: str) -> Skill:
    label, rate, cost_rate, tax_class = SKILLS[code]
    values = {"label": label, "rate": Decimal(rate), "cost_rate": Decimal(cost_rate), "tax_class": tax_class}
    return Skill.objects.get_or_create(code=code, defaults=values)[0]


def make_bench_type(code: str) -> BenchType:
    return BenchType.objects.get_or_create(code=code, defaults={"label": code.title()})[0]


def make_people() -> tuple[Person, Person]:
    """Two people who between them can do everything."""
    ana, _ = Person.objects.get_or_create(name="Ana Example")
    ana.skills.set([make_skill("fabrication"), make_skill("repair")])
    ben, _ = Person.objects.get_or_create(name="Ben Example")
    ben.skills.set([make_skill("electric"), make_skill("repair")])
    return ana, ben


def make_benches() -> tuple[Bench, Bench]:
    fab, _ = Bench.objects.get_or_create(name="Fab 1", defaults={"bench_type": make_bench_type("fab")})
    pack, _ = Bench.objects.get_or_create(name="Pack 1", defaults={"bench_type": make_bench_type("pack")})
    return fab, pack


def make_routing(job: str = Job.CONVERSION) -> list[RoutingStep]:
    """Five general steps of a job."""
    return [
        RoutingStep.objects.get_or_create(
            job=job,
            family=None,
            code=code,
            defaults={
                "position": position,
                "label": label,
                "skill": make_skill(skill),
                "bench_type": make_bench_type(bench),
                "low_h": Decimal(low),
                "likely_h": Decimal(likely),
                "high_h": Decimal(high),
                "needs_kinds": list(needs),
            },
        )[0]
        for position, (code, label, skill, bench, low, likely, high, needs) in enumerate(STEPS, start=1)
    ]


def make_tax_place(code: str = "port-example", *, rates: tuple[str, ...] = ("0.06", "0.01"), **fields: str) -> TaxPlace:
    """A state, and a county when there is a second rate; parts taxed, everything else stated as not taxed."""
    place = TaxPlace.objects.create(code=code, name=code.replace("-", " ").title(), **fields)
    for position, rate in enumerate(rates, start=1):
        level = ("state", "county", "city")[position - 1]
        authority = TaxAuthority.objects.create(name=f"{place.name} {level}", level=level)
        TaxPlaceAuthority.objects.create(place=place, authority=authority, position=position)
        for tax_class in TaxClass.values:
            taxed = tax_class == TaxClass.PARTS
            TaxRate.objects.create(
                authority=authority,
                tax_class=tax_class,
                taxed=taxed,
                rate=Decimal(rate) if taxed else Decimal(0),
                begin=RATES_FROM,
            )
    return place


def make_customer(name: str = "Casey Example", **values: object) -> Customer:
    return Customer.objects.create(name=name, **values)


def make_whole_shop(**changed: object) -> Shop:
    """Settings, hours, people, benches, the steps of a conversion, and a home tax place of 6 % + 1 % on parts."""
    shop = make_shop(**changed)
    make_people()
    make_benches()
    make_routing()
    if shop.home_tax_place is None:
        shop.home_tax_place = make_tax_place()
        shop.save()
    return shop
