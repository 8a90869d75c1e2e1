"""Addresses of money: a build's purse, invoices and what comes of them, statements, the papers of entries."""

from django.urls import path

from shop.views import invoices, money, papers, statements

build = "builds/<slug:public_id>/"
invoice = "invoices/<slug:invoice_id>/"

money_pages = [
    path(f"{build}money/", money.build_money, name="build-money"),
    path(f"{build}pay/", money.build_pay, name="build-pay"),
    path(f"{build}refund/", money.build_refund, name="build-refund"),
    path(f"{build}cancel/", money.build_cancellation, name="build-cancel"),
    path(f"{build}invoice/", invoices.invoice_new, name="invoice-new"),
    path(f"{build}storage/", invoices.storage_new, name="storage-new"),
    path(f"{build}told/", invoices.build_told, name="build-told"),
    path(f"{build}hand-over/", invoices.hand_over, name="build-hand-over"),
    path(f"{build}statement/", statements.build_account, name="build-statement"),
    path("customers/<slug:public_id>/statement/", statements.customer_account, name="customer-statement"),
    path("statements/<slug:paper_id>.pdf", papers.statement_pdf, name="statement-pdf"),
    path(invoice, invoices.invoice, name="invoice"),
    path(f"{invoice}pay/", invoices.invoice_pay, name="invoice-pay"),
    path(f"{invoice}credit/", invoices.invoice_credit, name="invoice-credit"),
    path(f"{invoice}write-off/", invoices.invoice_write_off, name="invoice-write-off"),
    path("cash-book/deposits/", statements.deposits_held, name="deposits-held"),
    path("cash-book/<slug:entry_id>/clear/", money.entry_clear, name="entry-clear"),
    path("papers/<slug:entry_id>/", papers.entry_page, name="entry-paper"),
    path("papers/<slug:entry_id>.pdf", papers.entry_pdf, name="entry-paper-pdf"),
    path("c/<slug:token>/papers/<slug:entry_id>/", papers.customer_entry_page, name="customer-paper"),
    path("c/<slug:token>/papers/<slug:entry_id>.pdf", papers.customer_entry_pdf, name="customer-paper-pdf"),
]
