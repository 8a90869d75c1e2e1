from django.contrib import admin
from django.contrib.auth import views as auth_views
from django.contrib.auth.decorators import login_not_required
from django.templatetags.static import static
from django.urls import path
from django.utils.functional import lazy
from django.views.generic import RedirectView

# Lazy: its final name is known once collectstatic has run.
FAVICON = lazy(static, str)("favicon.svg")

urlpatterns = [
    path("sign-in/", auth_views.LoginView.as_view(), name="sign-in"),
    path("sign-out/", auth_views.LogoutView.as_view(), name="sign-out"),
    path("admin/", admin.site.urls),
    # Browsers ask for it on pages that name no icon, such as the admin's.
    path("favicon.ico", login_not_required(RedirectView.as_view(url=FAVICON))),
]
