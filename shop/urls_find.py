"""Find builds: addresses under a quote."""

from __future__ import annotations

from django.urls import path

from shop.views.quotes import find

find_pages = [
    path("quotes/<slug:public_id>/find/", find.quote_find, name="quote-find"),
    path("quotes/<slug:public_id>/find/use/", find.quote_find_use, name="quote-find-use"),
]
