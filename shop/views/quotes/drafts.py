"""What every change at the Counter shares: who may, which draft, and how it is answered.

With script a change is answered by fragments: the figures it moved, and the parts of the page it rebuilt. Without, by
the whole page. What cannot be read or is refused is answered 422, the words beside the field; nothing typed is lost.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from shop.forms.base import ShopForm
from shop.models import Quote, QuoteOption, QuoteVersion
from shop.permissions import COUNTER, OWNER, roles_required
from shop.services.errors import Refused
from shop.views.answers import is_htmx, refuse
from shop.views.quotes.page import counter_page

# Parts of the page a change may rebuild, besides the figures, which are always answered.
CUSTOMER, DONOR, SALE, PACK, PARTS, HOURS, EXTRAS, PRICE_TERMS = (
    "customer",
    "donor",
    "sale",
    "pack",
    "parts",
    "hours",
    "extras",
    "price_terms",
)
Write = Callable[[dict[str, Any]], object]


class NoDraft(Exception):  # noqa: N818 - a state of the quote, answered with its own page
    """The quote has no draft to change: it was offered, perhaps in another window."""

    def __init__(self, quote: Quote) -> None:
        self.quote = quote
        super().__init__(quote.number)


def draft_of(public_id: str) -> QuoteVersion:
    """The draft of a quote. Raises Http404 for an unknown quote, NoDraft when there is none."""
    rows = QuoteVersion.objects.select_related("quote__customer", "quote__donor__family", "quote__donor__owner")
    draft = rows.select_related("tax_place").filter(quote__public_id=public_id, state="draft").first()
    if draft is None:
        raise NoDraft(get_object_or_404(Quote, public_id=public_id))
    return draft


def option_of(draft: QuoteVersion, key: str) -> QuoteOption:
    """An option of a draft by its letter. Raises Http404."""
    option = QuoteOption.objects.select_related("version__quote").filter(version=draft, key=key).first()
    if option is None:
        raise Http404(f"{draft} has no option {key}.")
    return option


def changes_draft(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """A POST by owner or counter that changes a draft; a quote without one is answered 409, with the way on."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        try:
            return view(request, *args, **kwargs)
        except NoDraft as gone:
            return render(request, "quotes/no_draft.html", {"quote": gone.quote}, status=409)

    return roles_required(OWNER, COUNTER)(require_POST(guarded))


def quote_address(quote: Quote, key: str = "", anchor: str = "") -> str:
    address = reverse("quote", args=[quote.public_id])
    address += f"?option={key}" if key else ""
    return f"{address}#{anchor}" if anchor else address


def change(
    request: HttpRequest,
    draft: QuoteVersion,
    key: str,
    form: ShopForm,
    write: Write,
    *,
    rebuilt: tuple[str, ...] = (),
    anchor: str = "",
) -> HttpResponse:
    """Check the form, write, answer. `write` takes the cleaned values; Refused lands beside the field it names."""
    if form.is_valid():
        try:
            write(form.cleaned_data)
        except (Refused, ValidationError) as refusal:
            refuse(form, refusal)
        else:
            return answer(request, draft, key, form=form, rebuilt=rebuilt, anchor=anchor)
    if is_htmx(request):
        return render(request, "quotes/_refused.html", {"form": form}, status=422)
    page = counter_page(request.user, draft_of(draft.quote.public_id), key, {str(form.prefix): form})
    return render(request, "quotes/counter.html", {"page": page}, status=422)


def act(
    request: HttpRequest, draft: QuoteVersion, key: str, write: Callable[[], object], *, rebuilt: tuple[str, ...] = ()
) -> HttpResponse:
    """A press without a form. A refusal is said above the page."""
    try:
        write()
    except Refused as refusal:
        if is_htmx(request):
            return render(request, "quotes/_refused.html", {"said": refusal.message}, status=422)
        messages.error(request, refusal.message)
        return HttpResponseRedirect(quote_address(draft.quote, key))
    return answer(request, draft, key, rebuilt=rebuilt)


def answer(
    request: HttpRequest,
    draft: QuoteVersion,
    key: str,
    *,
    form: ShopForm | None = None,
    rebuilt: tuple[str, ...] = (),
    anchor: str = "",
) -> HttpResponse:
    """The draft as it stands now: fragments with script, the page without."""
    if not is_htmx(request):
        return HttpResponseRedirect(quote_address(draft.quote, key, anchor))
    page = counter_page(request.user, draft_of(draft.quote.public_id), key)
    context = {"page": page, "shop": page.shop, "form": form, "rebuilt": rebuilt, "oob": True}
    return render(request, "quotes/_answer.html", context)
