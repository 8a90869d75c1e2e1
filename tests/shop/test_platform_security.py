import pytest
from django.contrib.auth.models import AnonymousUser, User
from django.http import HttpRequest, HttpResponse
from django.test import Client, override_settings
from django.urls import path, reverse
from django.views.generic import View

from shop.proxy import client_ip
from shop.urls import urlpatterns as shop_urls

PASSWORD = "a long invented phrase"


class Unguarded(View):
    """A view whose author forgot every guard."""

    def get(self, request: HttpRequest) -> HttpResponse:
        return HttpResponse(f"customers, shown to {request.user}")


urlpatterns = [path("unguarded/", Unguarded.as_view()), *shop_urls]


def csp(response: HttpResponse) -> dict[str, str]:
    directives = response.headers["Content-Security-Policy"].split("; ")
    return dict(directive.split(" ", 1) for directive in directives)


def test_pages_may_load_only_our_own_things(client, db):
    policy = csp(client.get("/admin/login/"))
    for directive in ("default-src", "script-src", "style-src", "form-action"):
        assert policy[directive] == "'self'"
    for directive in ("object-src", "base-uri", "frame-ancestors"):
        assert policy[directive] == "'none'"


def test_nothing_inline_or_evaluated_is_allowed(client, db):
    assert "unsafe" not in client.get("/admin/login/").headers["Content-Security-Policy"]


def test_pages_carry_the_other_guarding_headers(client, db):
    headers = client.get("/admin/login/").headers
    assert headers["X-Frame-Options"] == "DENY"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "same-origin"
    assert headers["Cross-Origin-Opener-Policy"] == "same-origin"


@override_settings(ROOT_URLCONF=__name__)
def test_a_view_without_any_guard_still_asks_for_a_sign_in(client, db, client_as):
    answer = client.get("/unguarded/")
    assert answer.status_code == 302
    assert answer.headers["Location"] == f"{reverse('sign-in')}?next=/unguarded/"
    assert client_as("builder").get("/unguarded/").status_code == 200


def sign_in(password: str, *, address: str = "203.0.113.7") -> int:
    """A sign-in as `owner` from an address of the documentation range (RFC 5737)."""
    form = {"username": "owner", "password": password}
    return Client(REMOTE_ADDR=address).post(reverse("sign-in"), form).status_code


@pytest.mark.django_db
def test_the_fifth_wrong_password_locks_that_person_from_that_address():
    User.objects.create_superuser("owner", password=PASSWORD)
    assert [sign_in("wrong") for _ in range(5)] == [200, 200, 200, 200, 429]
    assert sign_in(PASSWORD) == 429  # the right one comes too late
    assert sign_in(PASSWORD, address="203.0.113.8") == 302  # a stranger has not locked the owner out elsewhere


def asked(remote: str, forwarded: str | None = None) -> HttpRequest:
    request = HttpRequest()
    request.user = AnonymousUser()
    request.META["REMOTE_ADDR"] = remote
    if forwarded is not None:
        request.META["HTTP_X_FORWARDED_FOR"] = forwarded
    return request


@override_settings(BEHIND_PROXY=False)
def test_without_a_proxy_a_forwarded_address_is_not_believed():
    assert client_ip(asked("203.0.113.7", forwarded="198.51.100.1")) == "203.0.113.7"


@override_settings(BEHIND_PROXY=True)
def test_behind_a_proxy_only_the_entry_the_proxy_wrote_counts():
    assert client_ip(asked("127.0.0.1", forwarded="198.51.100.1")) == "198.51.100.1"
    assert client_ip(asked("127.0.0.1", forwarded="192.0.2.99, 198.51.100.1")) == "198.51.100.1"
    assert client_ip(asked("127.0.0.1")) == "127.0.0.1"
    assert client_ip(asked("127.0.0.1", forwarded="unknown")) == "127.0.0.1"
    assert client_ip(asked("", forwarded="2001:db8::7")) == "2001:db8::7"
    assert client_ip(asked("")) is None
