"""How sure a What-if's days are: asked of the worker, looked at until it has answered."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from shop.forms.what_if import WhatIfForm
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.plan import plan_basis
from shop.selectors.shop import shop_today, the_shop
from shop.selectors.trials import trial_page
from shop.selectors.what_if import with_changes
from shop.services.trials import question_text
from shop.trial_tasks import ask
from shop.views.answers import UNREADABLE, found_or_404, is_htmx, page_or_part


@require_POST
@roles_required(OWNER, COUNTER)
def odds_ask(request: HttpRequest) -> HttpResponse:
    """Put what stands in the address to the worker."""
    shop = the_shop()
    form = WhatIfForm(request.GET, shop=shop, today=shop_today(shop))
    if not form.is_valid():
        return HttpResponse("Nothing to work out: correct the changes first.", status=UNREADABLE)
    state, now, policies = plan_basis(shop=shop)
    asked = question_text({name: request.GET.get(name, "") for name in form.fields})
    trial = ask(before=state, after=with_changes(state, form.chosen()), now=now, policies=policies, asked=asked)
    if is_htmx(request):
        return _answer(request, trial.public_id)
    return HttpResponseRedirect(f"{reverse('what-if-odds-answer', args=[trial.public_id])}?{request.GET.urlencode()}")


@require_safe
@roles_required(OWNER, COUNTER)
def odds_answer(request: HttpRequest, trial_id: str) -> HttpResponse:
    return _answer(request, trial_id)


def _answer(request: HttpRequest, trial_id: str) -> HttpResponse:
    sure = found_or_404(lambda: trial_page(trial_id))
    context = {"sure": sure, "query": request.GET.urlencode()}
    return page_or_part(request, "what_if/odds.html", "what_if/_odds.html", context)
