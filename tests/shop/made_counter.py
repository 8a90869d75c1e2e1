"""The Counter on an invented sound draft: addresses by name, and posts as the page sends them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.test import Client
from django.urls import reverse

from shop.models import Donor, DonorFamily, OptionPart, Quote, QuoteOption, QuoteVersion


@dataclass(frozen=True)
class Counter:
    """A draft and a client at its Counter."""

    client: Client
    version: QuoteVersion

    @property
    def quote(self) -> Quote:
        return Quote.objects.get(versions=self.version)

    @property
    def family(self) -> DonorFamily:
        assert self.quote.donor is not None
        return self.quote.donor.family

    @property
    def option(self) -> QuoteOption:
        return self.version.options.get(key="A")

    def forget_vin(self) -> None:
        """The bike's number has not been read: a check finding that somebody must decide."""
        Donor.objects.filter(quotes=self.quote).update(vin="")

    def part(self, code: str) -> OptionPart:
        return OptionPart.objects.select_related("component").get(option=self.option, component__code=code)

    def address(self, name: str, *args: str) -> str:
        return reverse(name, args=[self.quote.public_id, *args])

    def get(self, name: str, *args: str, query: dict[str, str] | None = None, script: bool = False) -> Any:
        return self.client.get(self.address(name, *args), query or {}, headers=htmx(script))

    def post(self, name: str, *args: str, **sent: str) -> Any:
        """As htmx sends it; wishes__budget="18,000" is the field budget of the form wishes."""
        return self.client.post(self.address(name, *args), _named(sent), headers=htmx(True))

    def post_plain(self, name: str, *args: str, **sent: str) -> Any:
        """As a browser without script sends it."""
        return self.client.post(self.address(name, *args), _named(sent))


def _named(sent: dict[str, str]) -> dict[str, str]:
    return {key.replace("__", "-"): value for key, value in sent.items()}


def htmx(script: bool) -> dict[str, str]:
    return {"HX-Request": "true"} if script else {}


def text(response: Any) -> str:
    return str(response.content.decode())
