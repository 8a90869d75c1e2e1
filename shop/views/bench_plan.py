"""The bench plan: a calendar of lanes, by bench or by person."""

from __future__ import annotations

from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from shop.charts.lanes import lanes_drawing
from shop.forms.bench_plan import BenchPlanFilterForm
from shop.permissions import BUILDER, COUNTER, OWNER, roles_of, roles_required
from shop.selectors import bench_plan as selectors
from shop.selectors.replans import replan_waiting


@require_safe
@roles_required(OWNER, COUNTER, BUILDER)
def bench_plan(request: HttpRequest) -> HttpResponse:
    plan = selectors.bench_plan(BenchPlanFilterForm(request.GET).filters())
    context = {
        "plan": plan,
        "drawing": lanes_drawing(plan),
        "waiting": replan_waiting() if OWNER in roles_of(request.user) else None,
        "may_order": bool(roles_of(request.user) & {OWNER, BUILDER}),
        "seen": urlencode({"by": plan.by, "span": plan.span, "first": plan.first.isoformat()}),
    }
    return render(request, "bench_plan/page.html", context)
