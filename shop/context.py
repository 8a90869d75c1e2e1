"""What every page knows: the shop's settings row, the person's roles, and the navigation. All lazy: a fragment that
asks for none of it costs nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest
from django.urls import NoReverseMatch, reverse
from django.utils.functional import SimpleLazyObject

from shop.permissions import BUILDER, COUNTER, OWNER, roles_of
from shop.selectors.shop import the_shop


@dataclass(frozen=True)
class Place:
    """An entry of the navigation: the words, the view it leads to, who sees it."""

    label: str
    view: str
    roles: frozenset[str]


@dataclass(frozen=True)
class NavEntry:
    """A place as drawn: `current` when the page belongs to it."""

    label: str
    url: str
    current: bool


PLACES = (
    Place("Today", "today", frozenset({OWNER, COUNTER, BUILDER})),
    Place("Counter", "quotes", frozenset({OWNER, COUNTER})),
    Place("Line", "line", frozenset({OWNER, COUNTER, BUILDER})),
    Place("My bench", "my-bench", frozenset({BUILDER})),
    Place("Bench plan", "bench-plan", frozenset({OWNER, COUNTER, BUILDER})),
    Place("Waiting", "waiting", frozenset({OWNER, COUNTER, BUILDER})),
    Place("Stores", "stores", frozenset({OWNER, COUNTER, BUILDER})),
    Place("Orders", "orders", frozenset({OWNER, COUNTER})),
    Place("Customers", "customers", frozenset({OWNER, COUNTER})),
    Place("Donors", "donors", frozenset({OWNER, COUNTER})),
    Place("Catalogue", "catalogue", frozenset({OWNER, COUNTER, BUILDER})),
    Place("Cash book", "cash-book", frozenset({OWNER, COUNTER})),
    Place("Settings", "shop-settings", frozenset({OWNER})),
)


def navigation(path: str, roles: frozenset[str]) -> tuple[NavEntry, ...]:
    """The places these roles may go, only those that have a page. The longest address that begins `path` is current."""
    known: list[tuple[str, str]] = []
    for place in PLACES:
        if place.roles & roles:
            try:
                known.append((place.label, reverse(place.view)))
            except NoReverseMatch:
                continue
    here = max((url for _, url in known if path == url or (url != "/" and path.startswith(url))), key=len, default="")
    return tuple(NavEntry(label, url, url == here) for label, url in known)


def shop_page(request: HttpRequest) -> dict[str, Any]:
    """Context for every template: `shop`, `roles`, `nav`."""
    return {
        "shop": SimpleLazyObject(the_shop),
        "roles": SimpleLazyObject(lambda: roles_of(request.user)),
        "nav": SimpleLazyObject(lambda: navigation(request.path, roles_of(request.user))),
    }
