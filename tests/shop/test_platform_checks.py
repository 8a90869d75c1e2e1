from pathlib import Path

import pytest
from django.test import override_settings

from shop import checks, pdf


def test_nothing_is_said_where_pdfs_can_be_made(monkeypatch):
    monkeypatch.setattr(checks, "missing_libraries", list)
    assert checks.pdf_can_be_made() == []


def test_missing_libraries_are_named_with_the_line_to_type(monkeypatch):
    monkeypatch.setattr(checks, "missing_libraries", lambda: ["libpango-1.0.so.0"])
    (warning,) = checks.pdf_can_be_made()
    assert warning.id == "shop.W001"
    assert "libpango-1.0.so.0" in warning.msg
    assert "apt-get install" in str(warning.hint)


def test_a_library_no_machine_has_counts_as_missing(monkeypatch):
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.setattr(pdf, "PANGO_LIBRARIES", ("libno-machine-has-this.so.0",))
    assert pdf.missing_libraries() == ["libno-machine-has-this.so.0"]


def test_off_linux_the_import_itself_tells(monkeypatch):
    monkeypatch.setattr("sys.platform", "darwin")
    monkeypatch.setattr(pdf, "PANGO_LIBRARIES", ("libno-machine-has-this.so.0",))
    assert pdf.missing_libraries() == []


def test_an_upload_folder_that_can_be_made_is_fine(tmp_path):
    with override_settings(MEDIA_ROOT=tmp_path / "to" / "be" / "made"):
        assert checks.uploads_can_be_kept() == []


def test_an_upload_folder_that_is_a_file_is_pointed_out(tmp_path: Path):
    (tmp_path / "media").write_text("a file where the folder should be")
    with override_settings(MEDIA_ROOT=tmp_path / "media"):
        (warning,) = checks.uploads_can_be_kept()
    assert warning.id == "shop.W002"
    assert "MEDIA_ROOT" in str(warning.hint)


@pytest.mark.parametrize(("url", "ids"), [("https://bench.example.com", []), ("http://10.0.0.5", ["shop.W003"])])
def test_plain_http_is_pointed_out(url, ids):
    with override_settings(BASE_URL=url):
        assert [warning.id for warning in checks.people_reach_us_safely()] == ids


@pytest.mark.parametrize(("backend", "ids"), [("smtp", []), ("filebased", ["shop.W004"]), ("console", ["shop.W004"])])
def test_mail_that_goes_nowhere_is_pointed_out(backend, ids):
    with override_settings(EMAIL_BACKEND=f"django.core.mail.backends.{backend}.EmailBackend"):
        assert [warning.id for warning in checks.mail_leaves_the_machine()] == ids
