"""Today: what to do now, by role."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from shop.permissions import BUILDER, COUNTER, OWNER, roles_of, roles_required
from shop.selectors.lanes import lanes_day
from shop.selectors.plan import line_plan
from shop.selectors.setting_up import still_missing
from shop.selectors.shop import the_shop
from shop.selectors.today import today_page
from shop.views.order_making import supplier_groups

DESK = frozenset({OWNER, COUNTER})


@require_safe
@roles_required(OWNER, COUNTER, BUILDER)
def today(request: HttpRequest) -> HttpResponse:
    shop = the_shop()
    plan = line_plan(shop=shop)
    roles = roles_of(request.user)
    page = today_page(roles, plan)
    context = {
        "page": page,
        "desk": bool(roles & DESK),
        "groups": supplier_groups(page.order_now, shop),
        "lanes": lanes_day(plan, page.day),
        "blocked": plan.blocked,
        "line_is_empty": not plan.builds,
        "missing": still_missing(shop) if OWNER in roles else (),
    }
    return render(request, "today/page.html", context)
