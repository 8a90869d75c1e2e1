"""Every address, one section per subject. View names are subject-verb; the navigation (shop/context.py) uses the first
name of each section. Addresses carry random public ids, never row numbers.
"""

from django.contrib import admin
from django.contrib.auth import views as auth_views
from django.contrib.auth.decorators import login_not_required
from django.templatetags.static import static
from django.urls import path
from django.utils.functional import lazy
from django.views.generic import RedirectView

from shop.views import patterns

# Browsers ask for it on pages that name no icon, such as the admin's. Lazy: collectstatic gives it its final name.
icon = [
    path("favicon.ico", login_not_required(RedirectView.as_view(url=lazy(static, str)("favicon.svg")))),
]

accounts = [
    path("sign-in/", auth_views.LoginView.as_view(template_name="accounts/sign_in.html"), name="sign-in"),
    path("sign-out/", auth_views.LogoutView.as_view(), name="sign-out"),
]

pattern_page = [path("patterns/", patterns.patterns, name="patterns")]

urlpatterns = [
    *icon,
    *accounts,
    *pattern_page,
    path("admin/", admin.site.urls),
]
