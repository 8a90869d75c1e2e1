"""Customers and what is kept of them."""

from django.urls import path

from shop.views import certificates, customers

certificate = "customers/<slug:public_id>/certificates/<slug:certificate_id>/"
people_pages = [
    path("customers/", customers.customers, name="customers"),
    path("customers/new/", customers.customer_new, name="customer-new"),
    path("customers/<slug:public_id>/", customers.customer, name="customer"),
    path("customers/<slug:public_id>/edit/", customers.customer_edit, name="customer-edit"),
    path("customers/<slug:public_id>/certificates/", certificates.certificate_add, name="certificate-add"),
    path(f"{certificate}edit/", certificates.certificate_edit, name="certificate-edit"),
    path(f"{certificate}end/", certificates.certificate_over, name="certificate-end"),
]
