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
from shop.views import patterns
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
    path("settings/", RedirectView.as_view(pattern_name="admin:index"), name="shop-settings"),
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

urlpatterns = [
    *icon,
    *accounts,
    *pattern_page,
    *quotes,
    *settings,
]
