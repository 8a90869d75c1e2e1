"""Addresses of stock counts and past purchases by the file. Included from shop.urls_stores, before the parts' own."""

from django.urls import path

from shop.views import file_imports


def _pages(start: str, subject: str) -> list[object]:
    told = {"subject": subject}
    file = f"{start}by-file/<slug:file_id>/"
    return [
        path(f"{start}by-file/", file_imports.table_import, told, name=f"{subject}-import"),
        path(f"{start}by-file/template/<slug:form>/", file_imports.table_template, told, name=f"{subject}-template"),
        path(f"{start}by-file/export/<slug:form>/", file_imports.table_export, told, name=f"{subject}-export"),
        path(file, file_imports.table_file, told, name=f"{subject}-import-file"),
        path(f"{file}apply/", file_imports.table_apply, told, name=f"{subject}-import-apply"),
    ]


count_pages = _pages("stores/", "counts")
purchase_pages = _pages("orders/", "purchases")
