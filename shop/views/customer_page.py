"""The customer's own page: no account, found by an unguessable link, never kept by a browser or a search engine."""

from __future__ import annotations

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from shop.selectors.agreed import agreed_options
from shop.selectors.customer_page import customer_page
from shop.selectors.shop import the_shop
from shop.views.answers import found_or_404


@login_not_required
@never_cache
@require_safe
def customer_own_page(request: HttpRequest, token: str) -> HttpResponse:
    page = found_or_404(lambda: customer_page(token))
    options = agreed_options(page.version, page.build.option_key if page.build else "")
    context = {"page": page, "build": page.build, "options": options, "token": token, "shop": the_shop()}
    answer = render(request, "customer/page.html", context)
    answer.headers["X-Robots-Tag"] = "noindex, nofollow, noarchive"
    answer.headers["Referrer-Policy"] = "no-referrer"  # the link itself is the key
    return answer
