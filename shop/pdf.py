"""HTML to PDF, or a clear word that this machine cannot.

WeasyPrint is loaded when the first PDF is made: it takes half a second, and needs system libraries that may be missing.
"""

import contextlib
import ctypes
import functools
import importlib
import io
import sys
from types import ModuleType
from typing import Literal

PageSize = Literal["Letter", "A4"]

# The names WeasyPrint itself asks for on Linux; elsewhere they differ and its import tells.
PANGO_LIBRARIES = ("libpango-1.0.so.0", "libpangoft2-1.0.so.0", "libharfbuzz-subset.so.0")
PANGO_REMEDY = (
    "On Debian or Ubuntu type: "
    "apt-get install --no-install-recommends libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"
)


class PdfUnavailable(RuntimeError):  # noqa: N818 - it is a state of the machine, not an error of ours
    """This machine lacks the libraries for PDF. The message names them and the line to type."""


class PdfRefused(ValueError):  # noqa: N818 - a refusal, and named so
    """The HTML asked for something other than our own static files or an image carried in the page."""


def missing_libraries() -> list[str]:
    """Names of the system libraries that cannot be loaded; always empty off Linux."""
    missing = []
    for name in PANGO_LIBRARIES if sys.platform == "linux" else ():
        try:
            ctypes.CDLL(name)
        except OSError:
            missing.append(name)
    return missing


@functools.cache
def engine() -> ModuleType:
    """The module that holds WeasyPrint."""
    try:
        with contextlib.redirect_stdout(io.StringIO()):  # it prints a banner before it raises
            return importlib.import_module("shop.pdf_engine")
    except OSError as error:
        raise PdfUnavailable(f"PDFs cannot be made here: Pango is missing. {PANGO_REMEDY}") from error


def render_pdf(html: str, *, page_size: PageSize = "Letter") -> bytes:
    """A whole HTML document as PDF/UA-1 (ISO 14289-1): tagged, with language and title, for screen readers too.

    `<html lang>` and `<title>` become the PDF's; addresses like app:///css/x.css name files under static/. The same
    HTML gives the same bytes. Raises PdfUnavailable and PdfRefused.
    """
    weasyprint = engine()
    try:
        return bytes(weasyprint.write(html, page_size))
    except weasyprint.FatalURLFetchingError as error:  # a BaseException: it would end the server's thread
        raise PdfRefused(f"A document may use only our own static files and images inside the page. {error}") from error
