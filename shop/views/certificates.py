"""A customer's tax exemption certificates, on the customer's page: added, changed, ended."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_POST

from shop.forms.base import ShopForm
from shop.forms.customers import CertificateEndForm, certificate_form
from shop.models import Customer, ExemptCertificate
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.shop import shop_today, the_shop
from shop.services.certificates import certificate_end, certificate_save
from shop.views.answers import attempt, person_of
from shop.views.customers import customer_shown


@require_POST
@roles_required(OWNER, COUNTER)
def certificate_add(request: HttpRequest, public_id: str) -> HttpResponse:
    customer = get_object_or_404(Customer, public_id=public_id)
    form = certificate_form(None, shop=the_shop(), data=request.POST)
    saved = attempt(form, lambda values: certificate_save(customer=customer, person=person_of(request), **values))
    return _answer(request, customer, form, saved, "is added")


@require_POST
@roles_required(OWNER, COUNTER)
def certificate_edit(request: HttpRequest, public_id: str, certificate_id: str) -> HttpResponse:
    customer = get_object_or_404(Customer, public_id=public_id)
    row = get_object_or_404(ExemptCertificate, public_id=certificate_id, customer=customer)
    form = certificate_form(row, shop=the_shop(), data=request.POST)
    saved = attempt(
        form,
        lambda values: certificate_save(customer=customer, certificate=row, person=person_of(request), **values),
    )
    return _answer(request, customer, form, saved, "is saved")


@require_POST
@roles_required(OWNER, COUNTER)
def certificate_over(request: HttpRequest, public_id: str, certificate_id: str) -> HttpResponse:
    """Its last day, today unless told."""
    customer = get_object_or_404(Customer, public_id=public_id)
    row = get_object_or_404(ExemptCertificate, public_id=certificate_id, customer=customer)
    form = CertificateEndForm(
        request.POST, shop=the_shop(), initial={"last": shop_today()}, prefix=f"end-{row.public_id}"
    )
    ended = attempt(form, lambda values: certificate_end(certificate=row, person=person_of(request), **values))
    return _answer(request, customer, form, ended, "is ended")


def _answer(
    request: HttpRequest, customer: Customer, form: ShopForm, saved: ExemptCertificate | None, done: str
) -> HttpResponse:
    """Back to the page; with what was typed in its place when it could not be kept."""
    if saved is None:
        return customer_shown(request, customer.public_id, wrong=form)
    messages.success(request, f"Certificate {saved} {done}. Quotes offered and invoices made before stay as they are.")
    return HttpResponseRedirect(f"{reverse('customer', args=[customer.public_id])}#certificates")
