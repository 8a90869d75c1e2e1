"""Components by the file: templates and the catalogue to take away, a file looked over, then applied."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from quoting.parts import KINDS
from shop.forms.catalogue import ImportForm
from shop.importing.columns import all_columns
from shop.importing.files import MOST_BYTES
from shop.importing.plan import ImportPlan, plan_import
from shop.importing.problems import FileError
from shop.importing.written import FORMATS, TYPES, components_file, explained_file, template_file
from shop.models import Component, ImportFile, ImportSubject
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.shop import shop_today
from shop.services.catalogue_import import import_file_apply
from shop.services.errors import Refused
from shop.services.import_files import file_keep
from shop.views.answers import IN_THE_WAY, UNREADABLE, person_of


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def catalogue_import(request: HttpRequest) -> HttpResponse:
    """Choose a file; it is kept and looked over on the next page."""
    form = ImportForm(request.POST, request.FILES) if request.method == "POST" else ImportForm()
    if request.method == "POST" and form.is_valid():
        upload = form.cleaned_data["file"]
        try:
            content = upload.read(MOST_BYTES + 1)
            kept = file_keep(
                subject=ImportSubject.COMPONENTS, content=content, filename=upload.name, person=person_of(request)
            )
            return HttpResponseRedirect(reverse("catalogue-import-file", args=[kept.public_id]))
        except Refused as refusal:
            form.add_error("file", refusal.message)
    context = {"form": form, "kinds": KINDS.values(), "columns": all_columns(), "most_mb": MOST_BYTES // 1_000_000}
    return render(request, "catalogue/import.html", context, status=UNREADABLE if form.errors else 200)


@require_safe
@roles_required(OWNER, COUNTER)
def catalogue_import_file(request: HttpRequest, public_id: str) -> HttpResponse:
    """What the file would do, or what it did."""
    return _looked_over(request, _own_file(request, public_id))


@require_POST
@roles_required(OWNER, COUNTER)
def catalogue_import_apply(request: HttpRequest, public_id: str) -> HttpResponse:
    file = _own_file(request, public_id)
    try:
        applied = import_file_apply(file=file, person=person_of(request), shown=request.POST.get("shown", ""))
    except Refused as refusal:
        return _looked_over(request, file, refusal.message)
    messages.success(request, f"{applied.filename}: {applied.outcome}.")
    return HttpResponseRedirect(reverse("catalogue-import-file", args=[applied.public_id]))


def _own_file(request: HttpRequest, public_id: str) -> ImportFile:
    """Only who uploaded a file sees it."""
    rows = ImportFile.objects.filter(subject=ImportSubject.COMPONENTS)
    return get_object_or_404(rows, public_id=public_id, person=person_of(request))


def _looked_over(request: HttpRequest, file: ImportFile, refused: str = "") -> HttpResponse:
    plan: ImportPlan | None = None
    unreadable = ""
    if file.applied_at is None:
        try:
            plan = plan_import(bytes(file.content), file.filename, shop_today())
        except FileError as error:
            unreadable = str(error)
    context = {"file": file, "plan": plan, "unreadable": unreadable, "refused": refused}
    return render(request, "catalogue/import_file.html", context, status=IN_THE_WAY if refused else 200)


@require_safe
@roles_required(OWNER, COUNTER)
def catalogue_template(request: HttpRequest, form: str) -> HttpResponse:
    """An empty table of one kind, or of all."""
    kinds = _kinds(request)
    return _download(template_file(kinds, _form(form)), f"{_name(kinds)}-template", form)


@require_safe
@roles_required(OWNER, COUNTER)
def catalogue_columns(request: HttpRequest) -> HttpResponse:
    """What every column means, as CSV."""
    kinds = _kinds(request)
    return _download(explained_file(kinds), f"{_name(kinds)}-columns", "csv")


@require_safe
@roles_required(OWNER, COUNTER)
def catalogue_export(request: HttpRequest, form: str) -> HttpResponse:
    """The catalogue, or one kind of it, to change and read back."""
    kinds = _kinds(request)
    rows = Component.objects.filter(kind__in=kinds).prefetch_related("offers__supplier").order_by("kind", "name", "pk")
    return _download(components_file(rows, _form(form)), _name(kinds), form)


def _kinds(request: HttpRequest) -> list[str]:
    kind = request.GET.get("kind", "")
    if kind and kind not in KINDS:
        raise Http404("No kind of component is called so.")
    return [kind] if kind else list(KINDS)


def _form(form: str) -> str:
    if form not in FORMATS:
        raise Http404("Only CSV and XLSX.")
    return form


def _name(kinds: list[str]) -> str:
    return f"components-{kinds[0]}" if len(kinds) == 1 else "components"


def _download(content: bytes, name: str, form: str) -> HttpResponse:
    answer = HttpResponse(content, content_type=TYPES[form])
    answer["Content-Disposition"] = f'attachment; filename="{name}.{form}"'
    return answer
