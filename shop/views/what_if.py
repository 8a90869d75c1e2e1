"""What if: changes tried on the plan, each build side by side now and then; applying them is an act of its own."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from shop.forms.what_if import ApplyForm, WhatIfForm
from shop.permissions import COUNTER, OWNER, roles_of, roles_required
from shop.selectors.shop import shop_today, the_shop
from shop.selectors.what_if import compared
from shop.services.what_if import changes_apply
from shop.views.answers import attempt, page_or_part, person_of

TOLD = "The log keeps it; customers whose place changes are shown it."


@require_safe
@roles_required(OWNER, COUNTER)
def what_if(request: HttpRequest) -> HttpResponse:
    return _answer(request, _asked(request))


@require_POST
@roles_required(OWNER, COUNTER)
def what_if_apply(request: HttpRequest) -> HttpResponse:
    """Enter what stands in the address, with a reason."""
    asked = _asked(request, always=True)
    form = ApplyForm(request.POST, shop=asked.shop, help_text=TOLD)
    if asked.is_valid():
        chosen = asked.chosen()
        if chosen.owners_act and OWNER not in roles_of(request.user):
            raise PermissionDenied

        def write(values: dict[str, Any]) -> bool:
            changes_apply(chosen=chosen, person=person_of(request), **values)
            return True

        if attempt(form, write):
            messages.success(request, "Applied. Promised dates stay as they are: change them build by build.")
            return HttpResponseRedirect(reverse("line"))
    return _answer(request, asked, form)


def _asked(request: HttpRequest, *, always: bool = False) -> WhatIfForm:
    shop = the_shop()
    known = request.GET if always or set(request.GET) & set(WhatIfForm.base_fields) else None
    return WhatIfForm(known, shop=shop, today=shop_today(shop))


def _answer(request: HttpRequest, asked: WhatIfForm, form: ApplyForm | None = None) -> HttpResponse:
    chosen = asked.chosen() if asked.is_bound and asked.is_valid() else None
    found = compared(chosen) if chosen else None
    applied = form or ApplyForm(shop=asked.shop, help_text=TOLD, initial={"revision": found.revision if found else 0})
    may = chosen is not None and (not chosen.owners_act or OWNER in roles_of(request.user))
    context = {
        "asked": asked,
        "chosen": chosen,
        "found": found,
        "form": applied,
        "may_apply": may,
        "query": request.GET.urlencode(),
    }
    return page_or_part(request, "what_if/page.html", "what_if/_body.html", context, asked, applied)
