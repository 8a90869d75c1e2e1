"""Every address, one section per subject. View names are subject-verb; the navigation (shop/context.py) uses the first
name of each section. Addresses carry random public ids, never row numbers.
"""

from django.contrib.auth import views as auth_views
from django.contrib.auth.decorators import login_not_required
from django.templatetags.static import static
from django.urls import path
from django.utils.functional import lazy
from django.views.generic import RedirectView

from shop.admin import site as settings_site
from shop.urls_changes import change_pages
from shop.urls_exports import export_pages
from shop.urls_figures import figure_pages
from shop.urls_find import find_pages
from shop.urls_money import money_pages
from shop.urls_people import people_pages
from shop.urls_plan import plan_pages
from shop.urls_stores import orders_pages, stores_pages
from shop.urls_tax import tax_pages
from shop.views import (
    bench,
    build_parts,
    builds,
    cash,
    catalogue,
    catalogue_import,
    claims,
    customer_page,
    deposits,
    documents,
    donors,
    families,
    fields,
    line,
    patterns,
    promises,
    today,
    trips,
    waiting,
)
from shop.views import settings as settings_pages
from shop.views.quotes import counter, decide, hours, listing, options, parts, people, versions, wishes

# Browsers ask for it on pages that name no icon, such as the admin's. Lazy: collectstatic gives it its final name.
icon = [
    path("favicon.ico", login_not_required(RedirectView.as_view(url=lazy(static, str)("favicon.svg")))),
]

accounts = [
    path("sign-in/", auth_views.LoginView.as_view(template_name="accounts/sign_in.html"), name="sign-in"),
    path("sign-out/", auth_views.LogoutView.as_view(), name="sign-out"),
]

# For owners: Django's admin on our own site, entered by role.
settings = [
    path("settings/", settings_pages.shop_settings, name="shop-settings"),
    path("settings/hours/", settings_pages.opening_hours, name="opening-hours"),
    path("settings/hours/save/", settings_pages.opening_hours_save, name="opening-hours-save"),
    path("settings/closed-days/", settings_pages.closed_days_new, name="closed-days-add"),
    path("settings/closed-days/remove/", settings_pages.closed_days_gone, name="closed-days-remove"),
    path("admin/", settings_site.urls),
]

pattern_page = [path("patterns/", patterns.patterns, name="patterns")]

# The Counter: `quote` is the quote's public id, `key` an option's letter.
quote = "quotes/<slug:public_id>/"
option = f"{quote}<slug:key>/"
version = "versions/<slug:version_id>/"
quotes = [
    path("quotes/", listing.quotes, name="quotes"),
    path("quotes/new/", listing.quote_new, name="quote-new"),
    path("vin/", people.vin_check, name="vin-check"),
    path(quote, counter.quote, name="quote"),
    path(f"{quote}compare/", counter.quote_compare, name="quote-compare"),
    path(f"{quote}offer/", versions.quote_offer, name="quote-offer"),
    path(f"{quote}wishes/", wishes.quote_wishes, name="quote-wishes"),
    path(f"{quote}sale/", wishes.quote_sale, name="quote-sale"),
    path(f"{quote}note/", wishes.quote_note, name="quote-note"),
    path(f"{quote}customer/", people.customer_choose, name="quote-customer-choose"),
    path(f"{quote}customer/find/", people.customer_find, name="quote-customer-find"),
    path(f"{quote}customer/new/", people.customer_new, name="quote-customer-new"),
    path(f"{quote}donor/", people.donor_choose, name="quote-donor-choose"),
    path(f"{quote}donor/find/", people.donor_find, name="quote-donor-find"),
    path(f"{quote}donor/new/", people.donor_new, name="quote-donor-new"),
    path(f"{quote}options/", options.option_new, name="option-new"),
    path(f"{option}label/", options.option_label, name="option-label"),
    path(f"{option}pack/", options.option_pack, name="option-pack"),
    path(f"{option}price/", options.option_price, name="option-price"),
    path(f"{option}remove/", options.option_take_off, name="option-remove"),
    path(f"{option}parts/", parts.part_take, name="part-take"),
    path(f"{option}parts/choose/<slug:kind>/", parts.part_choose, name="part-choose"),
    path(f"{option}parts/<slug:component_id>/", parts.part_set, name="part-set"),
    path(f"{option}parts/<slug:component_id>/remove/", parts.part_take_off, name="part-remove"),
    path(f"{option}steps/", hours.step_new, name="step-new"),
    path(f"{option}steps/<slug:code>/", hours.step_set, name="step-set"),
    path(f"{option}steps/<slug:code>/remove/", hours.step_take_off, name="step-remove"),
    path(f"{option}extras/", hours.extra_new, name="extra-new"),
    path(f"{option}extras/remove/", hours.extra_take_off, name="extra-remove"),
    path(f"{option}way-out/", decide.way_out_take, name="way-out-take"),
    path(f"{option}checks/<slug:rule>/", decide.check_decide, name="check-decide"),
    path(f"{option}checks/<slug:rule>/reopen/", decide.check_reopen, name="check-reopen"),
    path(version, versions.quote_version, name="quote-version"),
    path(f"{version}revise/", versions.version_again, name="version-revise"),
    path(f"{version}decline/", versions.version_say_no, name="version-decline"),
]

# The day, the line and the bench.
start = [path("", today.today, name="today")]

build = "builds/<slug:public_id>/"
step = "steps/<slug:step_id>/"
line_pages = [
    path("line/", line.line, name="line"),
    path("waiting/", waiting.waiting, name="waiting"),
    path("my-bench/", bench.bench, name="my-bench"),
    path("promises/", promises.promise_log, name="promise-log"),
    path(build, builds.build, name="build"),
    path(f"{build}move/", line.build_move, name="build-move"),
    path(f"{build}promise/", builds.build_promise, name="build-promise"),
    path(f"{build}hold/", builds.build_hold_on, name="build-hold"),
    path(f"{build}release/", builds.build_release_now, name="build-release"),
    path(f"{build}ready/", builds.build_ready, name="build-ready"),
    path(f"{build}parts/<slug:component_id>/issue/", build_parts.need_issue, name="need-issue"),
    path(f"{build}parts/<slug:component_id>/return/", build_parts.need_return, name="need-return"),
    path(f"{step}start/", bench.step_begin, name="step-start"),
    path(f"{step}finish/", bench.step_end, name="step-finish"),
    path(f"{step}pause/", bench.step_put_down, name="step-pause"),
    path(f"{step}reopen/", bench.step_again, name="step-reopen"),
]

# The catalogue: what quotes are made of.
component = "catalogue/<slug:public_id>/"
catalogue_pages = [
    path("catalogue/", catalogue.catalogue, name="catalogue"),
    path("catalogue/new/", catalogue.component_kinds, name="component-kinds"),
    path("catalogue/new/<slug:kind>/", catalogue.component_new, name="component-new"),
    path("catalogue/import/", catalogue_import.catalogue_import, name="catalogue-import"),
    path("catalogue/import/<slug:public_id>/", catalogue_import.catalogue_import_file, name="catalogue-import-file"),
    path(
        "catalogue/import/<slug:public_id>/apply/",
        catalogue_import.catalogue_import_apply,
        name="catalogue-import-apply",
    ),
    path("catalogue/template/columns/", catalogue_import.catalogue_columns, name="catalogue-columns"),
    path("catalogue/template/<slug:form>/", catalogue_import.catalogue_template, name="catalogue-template"),
    path("catalogue/export/<slug:form>/", catalogue_import.catalogue_export, name="catalogue-export"),
    path(component, catalogue.component, name="component"),
    path(f"{component}change/", catalogue.component_edit, name="component-edit"),
    path(f"{component}offers/new/", catalogue.offer_new, name="offer-new"),
    path(f"{component}offers/<slug:supplier_id>/", catalogue.offer_edit, name="offer-edit"),
    path(f"{component}offers/<slug:supplier_id>/remove/", catalogue.offer_take_away, name="offer-remove"),
]

# People and bikes.
records = [
    *people_pages,
    path("donors/", donors.donors, name="donors"),
    path("donors/families/", families.families, name="families"),
    path("donors/families/new/", families.family_new, name="family-new"),
    path("donors/families/<slug:public_id>/", families.family, name="family"),
    path("donors/new/", donors.donor_new, name="donor-new"),
    path("donors/<slug:public_id>/", donors.donor, name="donor"),
    path("donors/<slug:public_id>/edit/", donors.donor_edit, name="donor-edit"),
]

# Money.
money = [
    path(f"{version}deposit/", deposits.deposit_take, name="deposit-take"),
    path("deposits/<slug:entry_id>/", deposits.deposit_taken, name="deposit-taken"),
    path("cash-book/", cash.cash_book, name="cash-book"),
    path("cash-book/<slug:entry_id>/correct/", cash.entry_correct, name="entry-correct"),
    path("cash-book/<slug:entry_id>/reverse/", cash.entry_reverse, name="entry-reverse"),
]

# The customer's own page, by an unguessable link.
own_page = [path("c/<slug:token>/", customer_page.customer_own_page, name="customer-page")]

# Quotes and receipts to print: for staff by their own ids, for customers behind their link.
documents_pages = [
    path(f"{version}document/", documents.quote_page, name="quote-document"),
    path(f"{version}document.pdf", documents.quote_pdf, name="quote-pdf"),
    path("deposits/<slug:entry_id>/receipt/", documents.receipt_page, name="receipt-document"),
    path("deposits/<slug:entry_id>/receipt.pdf", documents.receipt_pdf, name="receipt-pdf"),
    path("c/<slug:token>/quotes/<slug:version_id>/", documents.customer_quote_page, name="customer-quote-document"),
    path("c/<slug:token>/quotes/<slug:version_id>.pdf", documents.customer_quote_pdf, name="customer-quote-pdf"),
    path("c/<slug:token>/receipts/<slug:entry_id>/", documents.customer_receipt_page, name="customer-receipt-document"),
    path("c/<slug:token>/receipts/<slug:entry_id>.pdf", documents.customer_receipt_pdf, name="customer-receipt-pdf"),
]

# Engineering at the counter: a trip on a quote, a claim from anywhere, what the catalogue's fields mean.
engineering = [
    path(f"{quote}trip/", trips.quote_trip, name="quote-trip"),
    path(f"{version}trip/", trips.version_trip, name="version-trip"),
    path("claims/", claims.claims, name="claims"),
    path("catalogue/fields/", fields.catalogue_fields, name="catalogue-fields"),
]

urlpatterns = [
    *start,
    *engineering,
    *line_pages,
    *plan_pages,
    *stores_pages,
    *orders_pages,
    *catalogue_pages,
    *records,
    *money_pages,
    *money,
    *own_page,
    *documents_pages,
    *icon,
    *accounts,
    *pattern_page,
    *quotes,
    *find_pages,
    *change_pages,
    *figure_pages,
    *tax_pages,
    *export_pages,
    *settings,
]
