"""Addresses of tax places, look-up and the states' files."""

from django.urls import path

from shop.views import tax, tax_import

tax_pages = [
    path("tax/", tax.tax, name="tax"),
    path("tax/places/", tax.tax_place_make, name="tax-place-make"),
    path("tax/holidays/", tax.tax_holiday, name="tax-holiday"),
    path("tax/import/", tax_import.tax_import, name="tax-import"),
    path("tax/import/<slug:public_id>/", tax_import.tax_import_file, name="tax-import-file"),
    path("tax/import/<slug:public_id>/apply/", tax_import.tax_import_apply, name="tax-import-apply"),
]
