"""Stock counts and past purchases by the file: looked over, applied once; templates and exports to take away.

The routes name the subject (`counts` or `purchases`); both go the same way.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from django.contrib import messages
from django.contrib.auth.models import User
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop.forms.catalogue import ImportForm
from shop.importing import count_rows as counts
from shop.importing import past_purchases as purchases
from shop.importing.columns import Column
from shop.importing.count_plan import CountPlan, plan_counts
from shop.importing.files import MOST_BYTES
from shop.importing.past_purchases import PurchasePlan, plan_purchases
from shop.importing.problems import FileError
from shop.importing.sheets import Cell, sheet_file
from shop.importing.written import FORMATS, TYPES
from shop.models import ImportFile, ImportSubject
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.sheets import count_rows, purchase_rows
from shop.selectors.shop import shop_today
from shop.services.count_import import count_file_apply
from shop.services.errors import Refused
from shop.services.import_files import file_keep
from shop.services.purchase_import import purchase_file_apply
from shop.views.answers import IN_THE_WAY, UNREADABLE, person_of

SHOWN = 200  # changes and problems on one page; the counts say how many there are (our own choice)
Plan = CountPlan | PurchasePlan


@dataclass(frozen=True, kw_only=True)
class Subject:
    """One kind of table: its words, its columns, what reads, applies and writes it."""

    of: ImportSubject
    title: str
    back: tuple[str, str]
    columns: Sequence[Column]
    needed: tuple[str, ...]
    plan: Callable[[bytes, str], Plan]
    apply: Callable[..., ImportFile]
    rows: Callable[[], Iterable[Sequence[Cell]]]

    @property
    def heading(self) -> list[str]:
        return [column.name for column in self.columns]


SUBJECTS = {
    "counts": Subject(
        of=ImportSubject.COUNTS,
        title="Count by file",
        back=("stores", "Stores"),
        columns=counts.COLUMNS,
        needed=(counts.CODE, counts.COUNTED),
        plan=plan_counts,
        apply=count_file_apply,
        rows=count_rows,
    ),
    "purchases": Subject(
        of=ImportSubject.PURCHASES,
        title="Past purchases by file",
        back=("orders", "Orders"),
        columns=purchases.COLUMNS,
        needed=(*purchases.NEEDED, "code"),
        plan=lambda content, filename: plan_purchases(content, filename, shop_today()),
        apply=purchase_file_apply,
        rows=purchase_rows,
    ),
}


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def table_import(request: HttpRequest, subject: str) -> HttpResponse:
    """Choose a file; it is kept and looked over on the next page."""
    about = SUBJECTS[subject]
    form = ImportForm(request.POST, request.FILES) if request.method == "POST" else ImportForm()
    if request.method == "POST" and form.is_valid():
        upload = form.cleaned_data["file"]
        content = upload.read(MOST_BYTES + 1)
        try:
            kept = file_keep(subject=about.of, content=content, filename=upload.name, person=person_of(request))
            return HttpResponseRedirect(reverse(f"{subject}-import-file", args=[kept.public_id]))
        except Refused as refusal:
            form.add_error("file", refusal.message)
    context = {**_names(subject), "form": form, "most_mb": MOST_BYTES // 1_000_000}
    return render(request, "stores/table_import.html", context, status=UNREADABLE if form.errors else 200)


@require_safe
@roles_required(OWNER, COUNTER)
def table_file(request: HttpRequest, subject: str, file_id: str) -> HttpResponse:
    """What the file would do, or what it did."""
    return _looked_over(request, subject, _own_file(person_of(request), subject, file_id))


@require_POST
@roles_required(OWNER, COUNTER)
def table_apply(request: HttpRequest, subject: str, file_id: str) -> HttpResponse:
    person = person_of(request)
    file = _own_file(person, subject, file_id)
    try:
        applied = SUBJECTS[subject].apply(file=file, person=person, shown=request.POST.get("shown", ""))
    except Refused as refusal:
        return _looked_over(request, subject, file, refusal.message)
    messages.success(request, f"{applied.filename}: {applied.outcome}.")
    return HttpResponseRedirect(reverse(f"{subject}-import-file", args=[applied.public_id]))


@require_safe
@roles_required(OWNER, COUNTER)
def table_template(request: HttpRequest, subject: str, form: str) -> HttpResponse:
    """An empty table; in XLSX its second sheet explains every column."""
    return _download(subject, "template", (), form)


@require_safe
@roles_required(OWNER, COUNTER)
def table_export(request: HttpRequest, subject: str, form: str) -> HttpResponse:
    """What is there now, in the columns it is read from: imported unchanged it changes nothing."""
    return _download(subject, "export", SUBJECTS[subject].rows(), form)


def _names(subject: str) -> dict[str, object]:
    """The subject's words and addresses, for both of its pages."""
    names = {name: f"{subject}-{name}" for name in ("import", "import-file", "import-apply", "template", "export")}
    return {"about": SUBJECTS[subject], "subject": subject, "names": {k.replace("-", "_"): v for k, v in names.items()}}


def _own_file(person: User, subject: str, file_id: str) -> ImportFile:
    """Only who uploaded a file sees it."""
    return get_object_or_404(ImportFile, subject=SUBJECTS[subject].of, public_id=file_id, person=person)


def _looked_over(request: HttpRequest, subject: str, file: ImportFile, refused: str = "") -> HttpResponse:
    plan: Plan | None = None
    unreadable = ""
    if file.applied_at is None:
        try:
            plan = SUBJECTS[subject].plan(bytes(file.content), file.filename)
        except FileError as error:
            unreadable = str(error)
    context = {
        **_names(subject), "file": file, "plan": plan, "unreadable": unreadable, "refused": refused, "shown": SHOWN,
        "changes": plan.changes[:SHOWN] if plan else (), "problems": plan.problems[:SHOWN] if plan else (),
    }  # fmt: skip
    return render(request, "stores/table_file.html", context, status=IN_THE_WAY if refused else 200)


def _download(subject: str, what: str, rows: Iterable[Sequence[Cell]], form: str) -> HttpResponse:
    if form not in FORMATS:
        raise Http404("Only CSV and XLSX.")
    about = SUBJECTS[subject]
    content = sheet_file(subject, about.heading, rows, form, about.columns)
    answer = HttpResponse(content, content_type=TYPES[form])
    answer["Content-Disposition"] = f'attachment; filename="{subject}-{what}.{form}"'
    return answer
