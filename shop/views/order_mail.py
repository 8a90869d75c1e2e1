"""An order on paper, and by mail to its supplier after a look at the letter."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop.documents.purchase import purchase_html, purchase_pdf
from shop.forms.letters import LetterForm
from shop.letters import order_letter
from shop.models import Mail, OrderState, PurchaseOrder
from shop.pdf import PdfUnavailable
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.orders import order_page
from shop.selectors.shop import the_shop
from shop.services.mail import mail_again
from shop.services.order_mail import order_mail
from shop.views.answers import attempt, found_or_404, page_with, person_of, posted

UNAVAILABLE = 503  # RFC 9110 section 15.6.4


@require_safe
@roles_required(OWNER, COUNTER)
def order_document(request: HttpRequest, public_id: str) -> HttpResponse:
    order = get_object_or_404(PurchaseOrder, public_id=public_id)
    pdf, back = reverse("order-pdf", args=[public_id]), reverse("order", args=[public_id])
    return HttpResponse(purchase_html(order, pdf_address=pdf, back_address=back))


@require_safe
@roles_required(OWNER, COUNTER)
def order_pdf(request: HttpRequest, public_id: str) -> HttpResponse:
    """Shown in the browser; saved under its name when the address ends in ?download=1."""
    order = get_object_or_404(PurchaseOrder, public_id=public_id)
    try:
        data = purchase_pdf(order)
    except PdfUnavailable as reason:
        page = reverse("order-document", args=[public_id])
        context = {"reason": str(reason), "page_address": page}
        return render(request, "documents/unavailable.html", context, status=UNAVAILABLE)
    how = "attachment" if "download" in request.GET else "inline"
    name = f'{how}; filename="order-{order.number}.pdf"'
    return HttpResponse(data, content_type="application/pdf", headers={"Content-Disposition": name})


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def order_letter_page(request: HttpRequest, public_id: str) -> HttpResponse:
    """The letter as it would go, to look over and change; a POST sends it, and a draft is sent with it."""
    page = found_or_404(lambda: order_page(public_id))
    shop = the_shop()
    letter = order_letter(page.order, [row.line for row in page.lines], shop)
    form = LetterForm(posted(request), shop=shop, letter=letter)
    if request.method == "POST":

        def write(values: dict[str, Any]) -> Mail:
            return order_mail(order=page.order, person=person_of(request), **values)

        mail = attempt(form, write)
        if mail:
            messages.success(request, f"The letter to {mail.to} is on its way.")
            return HttpResponseRedirect(reverse("order", args=[public_id]))
    context = {"page": page, "order": page.order, "form": form, "is_draft": page.order.state == OrderState.DRAFT}
    return page_with(request, "orders/mail.html", context, form)


@require_POST
@roles_required(OWNER, COUNTER)
def letter_again(request: HttpRequest, mail_id: str) -> HttpResponse:
    mail = get_object_or_404(Mail.objects.select_related("order", "build"), public_id=mail_id)
    mail_again(mail=mail, person=person_of(request))
    messages.success(request, f"The letter to {mail.to} is tried again.")
    if mail.order is not None:
        return HttpResponseRedirect(reverse("order", args=[mail.order.public_id]))
    return HttpResponseRedirect(reverse("build", args=[mail.build.public_id] if mail.build else []))
