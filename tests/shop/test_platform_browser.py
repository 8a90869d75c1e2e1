"""The browser fixtures themselves: a page under our own policy, and that they notice what they are there to notice."""

import pytest

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_page_is_signed_in_as_the_role_asked_for_and_styled(page_as, live_server):
    page = page_as("builder")
    page.goto("/")
    assert page.get_by_role("button", name="Sign out").is_visible()
    assert page.get_by_role("link", name="Cash book").count() == 0  # what a builder may not see
    assert page.evaluate("getComputedStyle(document.querySelector('.top')).backgroundColor") != "rgba(0, 0, 0, 0)"


def test_signed_out_people_are_sent_to_sign_in(page, live_server):
    page.goto("/admin/")
    assert "/admin/login/" in page.url


def test_the_icon_is_found(page, live_server):
    answer = page.request.get(f"{live_server.url}/favicon.ico")
    assert (answer.status, answer.url) == (200, f"{live_server.url}/static/favicon.svg")
    assert answer.headers["content-type"].startswith("image/svg+xml")


def test_a_script_in_a_page_does_not_run_and_is_noticed(page, live_server, console_errors):
    page.goto("/admin/login/")
    page.evaluate("document.body.insertAdjacentHTML('beforeend', '<button onclick=\"document.title = 1\">x</button>')")
    page.get_by_role("button", name="x", exact=True).click()
    assert page.title() != "1"
    assert any("Content Security Policy" in problem for problem in console_errors)
    console_errors.clear()


def test_a_page_that_asks_for_something_outside_is_noticed(page, live_server, console_errors):
    page.goto("/admin/login/")
    page.evaluate("window.open('http://203.0.113.7/')")  # a documentation address (RFC 5737)
    page.wait_for_timeout(200)
    assert any("outside the application" in problem for problem in console_errors)
    console_errors.clear()


def test_poor_contrast_is_noticed(page, live_server, assert_accessible):
    page.goto("/admin/login/")
    page.evaluate("document.body.innerHTML = '<main><h1>x</h1><p>hard to read</p></main>'")
    page.evaluate("Object.assign(document.querySelector('p').style, {color: '#999', background: '#fff'})")
    with pytest.raises(AssertionError, match="color-contrast"):
        assert_accessible(page)
