"""What a new shop has yet to enter before it can quote and promise."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.db.models import Exists, QuerySet

from shop.models import Bench, Component, OpeningHours, Person, RoutingStep, Shop, Skill, Supplier, TaxPlace


@dataclass(frozen=True, kw_only=True)
class Missing:
    """A thing to enter: its page by name, what it is called there, and what cannot be worked out without it."""

    page: str
    words: str
    without: str


# In the order that makes each step possible: (mark on the shop's row, page, words, what fails without).
STEPS = (
    ("has_address", "shop-settings", "Name and address", "Documents have no letterhead."),
    ("has_hours", "opening-hours", "Opening hours", "No finish date and no figures at the Counter."),
    ("has_skills", "admin:shop_skill_changelist", "Skills and their rates", "Hours have no price."),
    ("has_people", "admin:shop_person_changelist", "People and what they can do", "Nobody can be planned."),
    ("has_benches", "admin:shop_bench_changelist", "Benches", "Bench work cannot be planned."),
    ("has_steps", "admin:shop_routingstep_changelist", "Steps of a job", "New quotes start without hours."),
    ("has_place", "admin:shop_taxplace_changelist", "Tax places and their rates", "A quote cannot be offered."),
    ("has_home", "shop-settings", "The shop's own tax place", "New quotes are taxed nowhere until a place is chosen."),
    ("has_suppliers", "admin:shop_supplier_changelist", "Suppliers", "Nothing can be ordered."),
    ("has_parts", "catalogue-import", "Components, from a file or one by one", "There is nothing to build with."),
)


def still_missing(shop: Shop) -> tuple[Missing, ...]:
    """What is not there yet, in the order to enter it; empty for a shop that is set up. One query."""
    found = Shop.objects.filter(pk=shop.pk).annotate(
        has_hours=_any(OpeningHours.objects.all()),
        has_skills=_any(Skill.objects.all()),
        has_people=_any(Person.objects.filter(active=True)),
        has_benches=_any(Bench.objects.filter(active=True)),
        has_steps=_any(RoutingStep.objects.all()),
        has_place=_any(TaxPlace.objects.all()),
        has_suppliers=_any(Supplier.objects.all()),
        has_parts=_any(Component.objects.all()),
    )
    marks = found.values(*(mark for mark, *_ in STEPS if mark not in {"has_address", "has_home"})).get()
    marks |= {"has_address": bool(shop.address.strip()), "has_home": shop.home_tax_place_id is not None}
    return tuple(
        Missing(page=page, words=words, without=without) for mark, page, words, without in STEPS if not marks[mark]
    )


def _any(rows: QuerySet[Any]) -> Exists:
    return Exists(rows.order_by())
