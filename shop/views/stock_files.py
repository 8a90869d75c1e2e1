"""The shelf and what was bought as CSV or XLSX."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from shop.importing.history import purchases_file, shelf_file
from shop.importing.written import FORMATS, TYPES
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.orders import lines_bought
from shop.selectors.stock import all_stock


@require_safe
@roles_required(OWNER, COUNTER)
def stores_file(request: HttpRequest, form: str) -> HttpResponse:
    return _download(shelf_file(all_stock(), _form(form)), "stock", form)


@require_safe
@roles_required(OWNER, COUNTER)
def orders_file(request: HttpRequest, form: str) -> HttpResponse:
    return _download(purchases_file(lines_bought(), _form(form)), "purchases", form)


def _form(form: str) -> str:
    if form not in FORMATS:
        raise Http404("Only CSV and XLSX.")
    return form


def _download(content: bytes, name: str, form: str) -> HttpResponse:
    answer = HttpResponse(content, content_type=TYPES[form])
    answer["Content-Disposition"] = f'attachment; filename="{name}.{form}"'
    return answer
