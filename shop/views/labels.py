"""Labels with a code to scan: for a part and its units on the shelf, or for a list of parts."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from shop.documents.labels import MOST_LABELS, LabelSheet, label_sheet, labels_pdf
from shop.forms.stores import LabelsForm, StockFilterForm
from shop.models import Component
from shop.pdf import PdfUnavailable
from shop.permissions import BUILDER, COUNTER, OWNER, roles_required
from shop.selectors.stock import found_components
from shop.views.answers import UNREADABLE

UNAVAILABLE = 503  # RFC 9110 section 15.6.4


@require_safe
@roles_required(OWNER, COUNTER, BUILDER)
def stock_labels(request: HttpRequest, public_id: str) -> HttpResponse:
    """One part: ?copies= of its shelf label, and one for each numbered unit on the shelf."""
    component = get_object_or_404(Component, public_id=public_id)
    asked = LabelsForm(request.GET)
    copies = asked.copies()
    units = component.units.filter(place="shelf").select_related("component")
    return _answer(request, lambda: label_sheet([component], copies=copies, units=units), component.code)


@require_safe
@roles_required(OWNER, COUNTER, BUILDER)
def stores_labels(request: HttpRequest) -> HttpResponse:
    """The parts of a list, with the list's own filters."""
    filters = StockFilterForm(request.GET).filters()
    rows = found_components(filters, MOST_LABELS + 1)
    return _answer(request, lambda: label_sheet(rows), "stores")


def _answer(request: HttpRequest, make: Callable[[], LabelSheet], name: str) -> HttpResponse:
    try:
        data = labels_pdf(make())
    except ValueError:
        reason = f"That is more than {MOST_LABELS} labels. Search or filter Stores first, then print what it shows."
        return render(request, "documents/unavailable.html", {"reason": reason, "page_address": ""}, status=UNREADABLE)
    except PdfUnavailable as reason_given:
        context = {"reason": str(reason_given), "page_address": ""}
        return render(request, "documents/unavailable.html", context, status=UNAVAILABLE)
    shown = {"Content-Disposition": f'inline; filename="labels-{name}.pdf"'}
    return HttpResponse(data, content_type="application/pdf", headers=shown)
