"""Addresses of a quote's figures on paper."""

from __future__ import annotations

from django.urls import path

from shop.views import figure_papers

figure_pages = [
    path("versions/<slug:version_id>/figures/", figure_papers.figures_page, name="figures-document"),
    path("versions/<slug:version_id>/figures.pdf", figure_papers.figures_pdf, name="figures-pdf"),
    path(
        "c/<slug:token>/quotes/<slug:version_id>/figures/",
        figure_papers.customer_figures_page,
        name="customer-figures-document",
    ),
    path(
        "c/<slug:token>/quotes/<slug:version_id>/figures.pdf",
        figure_papers.customer_figures_pdf,
        name="customer-figures-pdf",
    ),
]
