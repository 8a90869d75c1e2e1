"""Addresses of the books as files."""

from django.urls import path

from shop.views import exports

export_pages = [
    path("exports/", exports.exports_page, name="exports"),
    path("exports/<slug:table>.<slug:form>", exports.export_file, name="export-file"),
]
