"""A state's published tax files: chosen, looked over, applied."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop.forms.base import ShopForm
from shop.forms.tax import RateFileForm, ZipFileForm
from shop.importing.problems import FileError
from shop.importing.sst_files import MOST_BYTES
from shop.models import ImportFile, ImportSubject
from shop.permissions import OWNER, roles_required
from shop.selectors.shop import the_shop
from shop.services.errors import Refused
from shop.services.import_files import file_keep
from shop.services.tax_import import rate_plan, tax_file_apply, zip_plan
from shop.views.answers import IN_THE_WAY, UNREADABLE, person_of

SUBJECTS = (ImportSubject.TAX_RATES, ImportSubject.TAX_ZIPS)
CHOSEN = {ImportSubject.TAX_RATES: ("classes", "state_name"), ImportSubject.TAX_ZIPS: ("beginnings",)}


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER)
def tax_import(request: HttpRequest) -> HttpResponse:
    """Two forms, told apart by `subject`; the chosen file is kept and looked over on the next page."""
    shop = the_shop()
    forms: dict[str, ShopForm] = {
        ImportSubject.TAX_RATES: RateFileForm(shop=shop, prefix="rates"),
        ImportSubject.TAX_ZIPS: ZipFileForm(shop=shop, prefix="zips"),
    }
    subject = request.POST.get("subject", "")
    if request.method == "POST" and subject in forms:
        form_class, prefix = type(forms[subject]), forms[subject].prefix
        form = forms[subject] = form_class(request.POST, request.FILES, shop=shop, prefix=prefix)
        kept = _kept(request, form, subject) if form.is_valid() else None
        if kept is not None:
            return HttpResponseRedirect(reverse("tax-import-file", args=[kept.public_id]))
    wrong = request.method == "POST"
    context = {
        "rates": forms[ImportSubject.TAX_RATES],
        "zips": forms[ImportSubject.TAX_ZIPS],
        "most_mb": MOST_BYTES // 1_000_000,
    }
    return render(request, "tax/import.html", context, status=UNREADABLE if wrong else 200)


def _kept(request: HttpRequest, form: ShopForm, subject: str) -> ImportFile | None:
    upload = form.cleaned_data["file"]
    choices = {name: form.cleaned_data[name] for name in CHOSEN[ImportSubject(subject)]}
    try:
        return file_keep(
            subject=subject,
            content=upload.read(MOST_BYTES + 1),
            filename=upload.name,
            person=person_of(request),
            choices=choices,
            most_bytes=MOST_BYTES,
            smaller="Zip it.",
        )
    except Refused as refusal:
        form.add_error("file", refusal.message)
        return None


@require_safe
@roles_required(OWNER)
def tax_import_file(request: HttpRequest, public_id: str) -> HttpResponse:
    """What the file would do, or what it did."""
    return _looked_over(request, _own_file(request, public_id))


@require_POST
@roles_required(OWNER)
def tax_import_apply(request: HttpRequest, public_id: str) -> HttpResponse:
    file = _own_file(request, public_id)
    try:
        applied = tax_file_apply(file=file, person=person_of(request), shown=request.POST.get("shown", ""))
    except Refused as refusal:
        return _looked_over(request, file, refusal.message)
    messages.success(request, f"{applied.filename}: {applied.outcome}.")
    return HttpResponseRedirect(reverse("tax-import-file", args=[applied.public_id]))


def _own_file(request: HttpRequest, public_id: str) -> ImportFile:
    """Only who uploaded a file sees it."""
    return get_object_or_404(ImportFile, public_id=public_id, person=person_of(request), subject__in=SUBJECTS)


def _looked_over(request: HttpRequest, file: ImportFile, refused: str = "") -> HttpResponse:
    context: dict[str, Any] = {"file": file, "refused": refused}
    if file.applied_at is None:
        try:
            is_rates = file.subject == ImportSubject.TAX_RATES
            context["rate_plan" if is_rates else "zip_plan"] = rate_plan(file) if is_rates else zip_plan(file)
        except FileError as error:
            context["unreadable"] = str(error)
    return render(request, "tax/import_file.html", context, status=IN_THE_WAY if refused else 200)
