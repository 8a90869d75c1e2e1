"""Letters: written down, sent by the worker, what became of them kept; an order mailed with its PDF."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import pytest
from django.core import mail as outbox
from django.core.mail import EmailMessage

from shop.documents.purchase import purchase_document
from shop.models import Build, Mail, PurchaseOrder, Shop
from shop.pdf import missing_libraries
from shop.services.errors import Refused
from shop.services.mail import mail_again, mail_send, mail_write
from shop.services.order_mail import order_mail
from tests.shop.made_builds import make_build, make_need, make_order, make_order_line
from tests.shop.made_parts import make_component, make_offer, make_supplier

LETTER: dict[str, Any] = {
    "to": "yard@example.com",
    "subject": "Order P-1",
    "body": "find our order attached:\n- 2 x motor",
}


@pytest.fixture
def draft(shop: Shop, morning: datetime) -> PurchaseOrder:
    order = make_order("P-1", state="draft", ordered_on=None, supplier=make_supplier(email="yard@example.com"))
    cell = make_component("CEL-1")
    make_offer(cell, priced_on=morning.date(), supplier_code="RC-50")
    make_order_line(cell, 480, order=order)
    make_need(make_build(), cell, 480)
    return order


def test_a_letter_is_sent_once_and_says_so(draft: PurchaseOrder, django_capture_on_commit_callbacks: Any):
    with django_capture_on_commit_callbacks(execute=True):
        for _ in range(2):
            made = order_mail(order=draft, person=None, key="k", **LETTER)
    draft.refresh_from_db()
    made.refresh_from_db()
    assert (draft.state, made.state, len(outbox.outbox)) == ("sent", "sent", 1)
    sent = outbox.outbox[0]
    assert (sent.to, sent.subject) == (["yard@example.com"], "Order P-1")
    assert bool(sent.attachments) != bool(missing_libraries())
    assert mail_send.call(made.pk) == "nothing to send"  # a task tried twice


def test_what_hinders_it_is_kept_and_it_is_tried_again(
    draft: PurchaseOrder, django_capture_on_commit_callbacks: Any, monkeypatch: pytest.MonkeyPatch
):
    def refuse(self: EmailMessage) -> int:
        raise ConnectionRefusedError("no answer from the mail server")

    with monkeypatch.context() as patched, django_capture_on_commit_callbacks(execute=True):
        patched.setattr(EmailMessage, "send", refuse)
        made = mail_write(order=draft, person=None, key="k", **LETTER)
        mail_send.call(made.pk)
    made.refresh_from_db()
    assert (made.state, made.error, made.sent_at) == ("failed", "no answer from the mail server", None)
    with django_capture_on_commit_callbacks(execute=True):
        mail_again(mail=made, person=None)
    made.refresh_from_db()
    assert (made.state, made.error) == ("sent", "")


def test_no_address_no_letter(draft: PurchaseOrder):
    with pytest.raises(Refused, match="no mail address"):
        mail_write(order=draft, person=None, key="k", **{**LETTER, "to": " "})
    draft.state = "cancelled"
    draft.save()
    with pytest.raises(Refused, match="is cancelled"):
        order_mail(order=draft, person=None, key="k", **LETTER)
    assert not Mail.objects.exists()


def test_the_order_on_paper_names_no_customer_and_no_build(draft: PurchaseOrder):
    """480 cells at 10 each are 4,800.00; cells travel as dangerous goods."""
    document = purchase_document(draft)
    line = document.lines[0]
    assert (line.name, line.code, line.quantity, line.amount) == (
        "round cell 5 Ah", "Your number RC-50", "480", "4,800.00",
    )  # fmt: skip
    assert (document.total, len(document.cautions)) == ("4,800.00", 1)
    said = repr(document)
    build = Build.objects.get()
    assert (build.customer.name in said, build.number in said) == (False, False)
