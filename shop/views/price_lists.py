"""A supplier's price list: uploaded, its columns named once, looked over, applied."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop.forms.catalogue import ImportForm
from shop.forms.price_lists import HeadingsForm
from shop.importing.files import MOST_BYTES, MOST_ROWS, read_table
from shop.importing.price_list import PricePlan, headings_for, plan_price_list
from shop.importing.problems import FileError
from shop.models import ImportFile, ImportSubject, Supplier, SupplierColumns
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.shop import shop_today, the_shop
from shop.services.errors import Refused
from shop.services.import_files import file_keep
from shop.services.price_lists import price_list_apply
from shop.views.answers import IN_THE_WAY, UNREADABLE, person_of

SHOWN = 200  # changes and problems on one page; the counts say how many there are (our own choice)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def price_list(request: HttpRequest, public_id: str) -> HttpResponse:
    """Choose a file; it is kept and looked over on the next page."""
    supplier = get_object_or_404(Supplier, public_id=public_id)
    form = ImportForm(request.POST, request.FILES) if request.method == "POST" else ImportForm()
    if request.method == "POST" and form.is_valid():
        upload = form.cleaned_data["file"]
        try:
            content = upload.read(MOST_BYTES + 1)
            kept = file_keep(
                subject=ImportSubject.PRICES,
                content=content,
                filename=upload.name,
                person=person_of(request),
                choices={"supplier": supplier.public_id},
            )
            return HttpResponseRedirect(reverse("price-list-file", args=[public_id, kept.public_id]))
        except Refused as refusal:
            form.add_error("file", refusal.message)
    context = {"supplier": supplier, "form": form, "known": _remembered(supplier), "most_rows": MOST_ROWS}
    return render(request, "suppliers/price_list.html", context, status=UNREADABLE if form.errors else 200)


@require_safe
@roles_required(OWNER, COUNTER)
def price_list_file(request: HttpRequest, public_id: str, file_id: str) -> HttpResponse:
    """What the list would do with the columns of ?part=&unit_cost=…, or with those remembered."""
    supplier, file = _kept(request, public_id, file_id)
    return _looked_over(request, supplier, file)


@require_POST
@roles_required(OWNER, COUNTER)
def price_list_done(request: HttpRequest, public_id: str, file_id: str) -> HttpResponse:
    supplier, file = _kept(request, public_id, file_id)
    headings = {name: str(heading) for name, heading in request.GET.items()}
    try:
        applied = price_list_apply(
            file=file, supplier=supplier, headings=headings, shown=request.POST.get("shown", ""),
            person=person_of(request),
        )  # fmt: skip
    except Refused as refusal:
        return _looked_over(request, supplier, file, refusal.message)
    messages.success(request, f"{applied.filename}: {applied.outcome}.")
    return HttpResponseRedirect(reverse("supplier", args=[public_id]))


def _kept(request: HttpRequest, public_id: str, file_id: str) -> tuple[Supplier, ImportFile]:
    """Only who uploaded a list sees it, at its own supplier."""
    supplier = get_object_or_404(Supplier, public_id=public_id)
    own = {"public_id": file_id, "person": person_of(request), "subject": ImportSubject.PRICES}
    return supplier, get_object_or_404(ImportFile, choices__supplier=supplier.public_id, **own)


def _remembered(supplier: Supplier) -> dict[str, str]:
    row = SupplierColumns.objects.filter(supplier=supplier).first()
    return dict(row.headings) if row else {}


def _looked_over(request: HttpRequest, supplier: Supplier, file: ImportFile, refused: str = "") -> HttpResponse:
    plan: PricePlan | None = None
    form, unreadable, query = None, "", request.GET.copy()
    if file.applied_at is None:
        try:
            columns = read_table(bytes(file.content), file.filename).columns
            known = headings_for(columns, _remembered(supplier))
            asked = request.GET if request.GET else known
            form = HeadingsForm(asked, shop=the_shop(), columns=columns)
            headings = form.headings() if form.is_valid() else {}
            plan = plan_price_list(bytes(file.content), file.filename, supplier, headings, shop_today())
            query.clear()
            query.update(headings)
        except FileError as error:
            unreadable = str(error)
    context = {
        "supplier": supplier, "file": file, "plan": plan, "form": form, "unreadable": unreadable, "refused": refused,
        "query": query.urlencode(), "changes": plan.changes[:SHOWN] if plan else (),
        "problems": plan.problems[:SHOWN] if plan else (), "shown": SHOWN,
    }  # fmt: skip
    return render(request, "suppliers/price_list_file.html", context, status=IN_THE_WAY if refused else 200)
