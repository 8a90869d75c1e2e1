"""What every field of a component's spec means, and what needs it: made from the code."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from quoting.guide import kinds_guide
from quoting.rules import all_rules
from shop.permissions import BUILDER, COUNTER, OWNER, roles_required


@require_safe
@roles_required(OWNER, COUNTER, BUILDER)
def catalogue_fields(request: HttpRequest) -> HttpResponse:
    titles = {rule.id: rule.title for rule in all_rules()}
    return render(request, "catalogue/fields.html", {"guide": kinds_guide(), "titles": titles})
