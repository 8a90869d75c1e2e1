"""Every address, one section per subject. View names are subject-verb; the navigation (shop/context.py) uses the first
name of each section. Addresses carry random public ids, never row numbers.
"""

from django.contrib import admin
from django.contrib.auth import views as auth_views
from django.urls import path

from shop.views import patterns

accounts = [
    path("sign-in/", auth_views.LoginView.as_view(template_name="accounts/sign_in.html"), name="sign-in"),
    path("sign-out/", auth_views.LogoutView.as_view(), name="sign-out"),
]

pattern_page = [path("patterns/", patterns.patterns, name="patterns")]

urlpatterns = [
    *accounts,
    *pattern_page,
    path("admin/", admin.site.urls),
]
