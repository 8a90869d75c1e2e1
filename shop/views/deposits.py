"""Taking a deposit: what it buys is shown first; pressing twice or going back takes it once."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from shop.documents.scan import scan_code
from shop.forms.deposits import DepositForm
from shop.models import EntryKind, LedgerEntry
from shop.permissions import COUNTER, OWNER, roles_of, roles_required
from shop.selectors.build_money import build_money
from shop.selectors.deposits import DepositPage, deposit_page
from shop.selectors.document_facts import receipt_facts
from shop.selectors.shop import shop_today, the_shop
from shop.services import cash as services
from shop.services.cash import DepositTaken
from shop.views.answers import IN_THE_WAY, UNREADABLE, attempt, found_or_404, person_of, posted


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def deposit_take(request: HttpRequest, version_id: str) -> HttpResponse:
    """?option= names the one chosen, when several were offered."""
    page = found_or_404(lambda: deposit_page(version_id))
    option = page.option(request.GET.get("option", ""))
    initial = {"amount": option.deposit, "received_on": shop_today()}
    form = DepositForm(posted(request), shop=the_shop(), owner=OWNER in roles_of(request.user), initial=initial)
    if request.method == "POST":

        def write(values: dict[str, Any]) -> DepositTaken:
            return services.deposit_take(
                version=page.version, option_key=option.key, person=person_of(request), **values
            )

        taken = attempt(form, write)
        if taken:
            if not taken.created:
                messages.info(request, "This deposit was taken already; it was not taken again.")
            return HttpResponseRedirect(reverse("deposit-taken", args=[taken.entry.public_id]))
    elif page.barred and (entry := _entry_of(page)):
        return HttpResponseRedirect(reverse("deposit-taken", args=[entry.public_id]))
    status = (IN_THE_WAY if page.barred else UNREADABLE) if form.errors else 200
    return render(request, "deposits/take.html", {"page": page, "option": option, "form": form}, status=status)


def _entry_of(page: DepositPage) -> LedgerEntry | None:
    """The deposit an accepted version was accepted with."""
    entries = LedgerEntry.objects.filter(build__version=page.version, kind=EntryKind.DEPOSIT)
    return entries.filter(reversed_by__isnull=True).order_by("number").first()


@require_safe
@roles_required(OWNER, COUNTER)
def deposit_taken(request: HttpRequest, entry_id: str) -> HttpResponse:
    """What the customer is told and takes along."""
    rows = LedgerEntry.objects.select_related("build__customer", "build__version__quote", "person", "reversed_by")
    entry = get_object_or_404(
        rows.prefetch_related("postings"), public_id=entry_id, kind=EntryKind.DEPOSIT, build__isnull=False
    )
    build = entry.build
    assert build is not None  # noqa: S101 - filtered above, for the type checker
    context = {
        "entry": entry,
        "amount": entry.moved,
        "taxed": receipt_facts(entry).taxed,
        "build": build,
        "money": build_money([build])[build.pk],
        "code": scan_code(build.link_token, f"build {build}"),
    }
    return render(request, "deposits/taken.html", context)
