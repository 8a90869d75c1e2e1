"""Addresses of change orders."""

from django.urls import path

from shop.views import change_orders, change_papers

change = "changes/<slug:change_id>/"
change_pages = [
    path("builds/<slug:public_id>/changes/new/", change_orders.change_new, name="change-new"),
    path(change, change_orders.change, name="change"),
    path(f"{change}agreed/", change_orders.change_agreed, name="change-agreed"),
    path(f"{change}drop/", change_orders.change_dropped, name="change-drop"),
    path(f"{change}document/", change_papers.change_page, name="change-document"),
    path(f"{change}document.pdf", change_papers.change_pdf, name="change-pdf"),
    path(
        "c/<slug:token>/changes/<slug:change_id>/", change_papers.customer_change_page, name="customer-change-document"
    ),
    path("c/<slug:token>/changes/<slug:change_id>.pdf", change_papers.customer_change_pdf, name="customer-change-pdf"),
]
