"""Settings pages for owners: what is edited a few times a year, and the books to look up."""

from __future__ import annotations

from shop.admin import accounts, catalogue, country, donors, people, records, shop, tax
from shop.admin.site import site

__all__ = ["accounts", "catalogue", "country", "donors", "people", "records", "shop", "site", "tax"]
