"""The books as files, for the owner and the accountant."""

from __future__ import annotations

from datetime import date
from typing import cast

from django.http import Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from shop.exporting import MOST_XLSX_ROWS, TYPES, csv_lines, xlsx_file
from shop.forms.exports import PeriodForm, periods
from shop.permissions import OWNER, roles_required
from shop.selectors.exports import export, exports
from shop.selectors.shop import shop_today, the_shop
from shop.views.answers import UNREADABLE


@require_safe
@roles_required(OWNER)
def exports_page(request: HttpRequest) -> HttpResponse:
    """?first= and ?last= choose the period; the last month unless told."""
    form, first, last = _period(request)
    context = {
        "form": form,
        "first": first,
        "last": last,
        "exports": exports(first, last),
        "periods": periods(shop_today()),
        "most": MOST_XLSX_ROWS,
    }
    return render(request, "exports/page.html", context, status=UNREADABLE if form.errors else 200)


@require_safe
@roles_required(OWNER)
def export_file(request: HttpRequest, table: str, form: str) -> HttpResponse:
    """One table as CSV, sent as it is read, or as XLSX."""
    _, first, last = _period(request)
    made = export(table, first, last)
    if made is None or form not in TYPES:
        raise Http404("There is no such table.")
    name = f"{made.key}-{first:%Y%m%d}-{last:%Y%m%d}.{form}"
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    if form == "csv":
        lines = csv_lines(made.headings, made.rows())
        sent = StreamingHttpResponse(lines, content_type=TYPES[form], headers=headers)
        return cast("HttpResponse", sent)  # a view may send either; the decorators only name one
    if made.count > MOST_XLSX_ROWS:
        text = f"{made.count:,} rows are more than an XLSX is made of here. Take the CSV, or a shorter period."
        return render(request, "exports/too_long.html", {"text": text}, status=UNREADABLE)
    return HttpResponse(xlsx_file(made.label, made.headings, made.rows()), content_type=TYPES[form], headers=headers)


def _period(request: HttpRequest) -> tuple[PeriodForm, date, date]:
    """The form and the period it names; what can't be read falls back to last month."""
    _, first, last = periods(shop_today())[1]
    asked = request.GET if {"first", "last"} & set(request.GET) else None
    form = PeriodForm(asked, shop=the_shop(), initial={"first": first, "last": last})
    if asked is not None and form.is_valid():
        return form, form.cleaned_data["first"], form.cleaned_data["last"]
    return form, first, last
