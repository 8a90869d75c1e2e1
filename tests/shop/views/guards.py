"""What every screen refuses: people signed out, other roles, methods it does not know, ids that are not there."""

from __future__ import annotations

from collections.abc import Callable

from django.test import Client
from django.urls import reverse

from shop.permissions import ROLES

OWNER_ONLY = ("owner",)
DESK = ("owner", "counter")
EVERYONE = ("owner", "counter", "builder")
UNKNOWN = "no-such-id"


def assert_guarded(
    client_as: Callable[[str], Client], name: str, *ids: str, roles: tuple[str, ...], post_only: bool = False
) -> None:
    """`ids` those of rows that are there, in the order of the address; `post_only` when there is nothing to look at."""
    method = "post" if post_only else "get"
    address = reverse(name, args=ids)
    stranger = getattr(Client(), method)(address)
    assert stranger.status_code == 302, address
    assert stranger.headers["Location"].startswith(reverse("sign-in")), address
    for role in ROLES:
        client = client_as(role)
        if role not in roles:
            assert getattr(client, method)(address).status_code == 403, f"{role} at {address}"
            continue
        assert client.delete(address).status_code == 405, address
        if post_only:
            assert client.get(address).status_code == 405, address
        for place in range(len(ids)):
            unknown = reverse(name, args=[*ids[:place], UNKNOWN, *ids[place + 1 :]])
            assert getattr(client, method)(unknown).status_code == 404, unknown
