"""What waits for which part: by part, or by build."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from shop.permissions import BUILDER, COUNTER, OWNER, roles_required
from shop.selectors.odds import line_odds
from shop.selectors.waiting import waiting_builds, waiting_needs, waiting_parts

BY_BUILD = "build"


@require_safe
@roles_required(OWNER, COUNTER, BUILDER)
def waiting(request: HttpRequest) -> HttpResponse:
    odds = line_odds()
    needs = waiting_needs(odds)
    by = BY_BUILD if request.GET.get("by") == BY_BUILD else "part"
    context = {"by": by, "parts": waiting_parts(needs), "builds": waiting_builds(needs), "odds": odds}
    return render(request, "waiting/page.html", context)
