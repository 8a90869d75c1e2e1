"""Calendars to follow from a phone: links made and revoked here, and what stands behind them."""

from __future__ import annotations

import hashlib
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils.cache import get_conditional_response
from django.utils.http import http_date
from django.views.decorators.http import require_POST, require_safe

from shop.documents.calendars import calendar_bytes, last_changed
from shop.forms.calendars import CalendarForm
from shop.models import Feed
from shop.permissions import BUILDER, COUNTER, OWNER, roles_required
from shop.selectors.calendars import feed_behind, feeds_of, published
from shop.selectors.shop import shop_today, the_shop
from shop.services.booked import booked_refresh
from shop.services.calendars import feed_make, feed_revoke
from shop.views.answers import attempt, found_or_404, page_with, person_of

SECONDS = 900  # as long as the bench work is not worked out anew


@require_safe
@roles_required(OWNER, COUNTER, BUILDER)
def calendars(request: HttpRequest) -> HttpResponse:
    return _page(request, CalendarForm(shop=the_shop(), person=person_of(request)))


@require_POST
@roles_required(OWNER, COUNTER, BUILDER)
def calendar_new(request: HttpRequest) -> HttpResponse:
    """Makes a link and shows it this once: the page that answers is the only one that ever has it."""
    person = person_of(request)
    form = CalendarForm(request.POST, shop=the_shop(), person=person)

    def write(values: dict[str, Any]) -> tuple[Feed, str]:
        return feed_make(person=person, **values)

    made = attempt(form, write)
    if made is None:
        return _page(request, form)
    feed, token = made
    address = f"{settings.BASE_URL}{reverse('calendar-feed', args=[token])}" if token else ""
    return _page(request, CalendarForm(shop=the_shop(), person=person), made=feed, address=address)


@require_POST
@roles_required(OWNER, COUNTER, BUILDER)
def calendar_revoke(request: HttpRequest, public_id: str) -> HttpResponse:
    person = person_of(request)
    feed = found_or_404(lambda: feed_revoke(feed=feeds_of(person).get(public_id=public_id), person=person))
    messages.success(request, f"{feed} is revoked: its link opens nothing any more.")
    return HttpResponseRedirect(reverse("calendars"))


@require_safe
@login_not_required
def calendar_feed(request: HttpRequest, token: str) -> HttpResponse:
    """The calendar behind a link, for programs: 304 while nothing changed, 404 for a link that does not count."""
    feed = found_or_404(lambda: feed_behind(token))
    booked_refresh()
    told, shop = published(feed), the_shop()
    body = calendar_bytes(told, zone=shop.zone, base_url=settings.BASE_URL, today=shop_today(shop))
    etag = f'"{hashlib.sha256(body).hexdigest()[:32]}"'
    changed = last_changed(told.events)
    answer = HttpResponse(body, content_type="text/calendar; charset=utf-8")
    answer = get_conditional_response(request, etag=etag, response=answer) or answer
    answer["ETag"] = etag
    if changed is not None:
        answer["Last-Modified"] = http_date(changed.timestamp())
    answer["Cache-Control"] = f"private, max-age={SECONDS}"
    answer["Content-Disposition"] = 'inline; filename="donorbench.ics"'
    answer["X-Robots-Tag"] = "noindex"
    return answer


def _page(request: HttpRequest, form: CalendarForm, made: Feed | None = None, address: str = "") -> HttpResponse:
    rows = feeds_of(person_of(request))
    context = {"form": form, "feeds": rows, "made": made, "address": address}
    return page_with(request, "calendars/page.html", context, form)
