"""WeasyPrint, kept to our own files. Import through shop.pdf.engine(): this import needs Pango."""

from pathlib import Path
from urllib import parse

from django.conf import settings
from weasyprint import CSS, HTML
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

from shop.pdf_structure import finish

__all__ = ["FatalURLFetchingError", "write"]

ROOT = Path(settings.BASE_DIR) / "static"
SCHEME = "app"  # app:///css/x.css is static/css/x.css
TYPES = {
    ".css": "text/css",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".jpg": "image/jpeg",
    ".woff2": "font/woff2",
}
# Relative addresses inside our style sheets resolve as they do on the site.
parse.uses_relative.append(SCHEME)
parse.uses_netloc.append(SCHEME)

# Our Inter under a name of its own: a system that has another release of Inter would use that one, and the same quote
# would come out differently there. Documents need not name a font; where they do, it is "Bench Sans".
FONT_FACES = "".join(
    f"@font-face {{ font-family: Bench Sans; font-weight: {weight}; src: url({SCHEME}:///fonts/{file}) }}"
    for weight, file in ((400, "inter-regular.woff2"), (600, "inter-semibold.woff2"), (700, "inter-semibold.woff2"))
)


class StaticFetcher(URLFetcher):  # type: ignore[misc] # WeasyPrint publishes no types
    """Reads files under static/ and data:image/ addresses. Nothing else: no network, no other file, no redirect."""

    def __init__(self) -> None:
        super().__init__(timeout=1, allowed_protocols=[SCHEME, "data"], allow_redirects=False, fail_on_errors=True)

    def fetch(self, url: str, headers: dict[str, str] | None = None) -> URLFetcherResponse:
        if url.startswith("data:image/"):
            return super().fetch(url, headers)
        prefix = f"{SCHEME}:///"
        path = (ROOT / parse.unquote(url.removeprefix(prefix))).resolve()
        if not url.startswith(prefix) or not path.is_relative_to(ROOT.resolve()) or path.suffix not in TYPES:
            raise ValueError(f"refused: {url[:80]}")
        return URLFetcherResponse(url, path.read_bytes(), {"Content-Type": TYPES[path.suffix]})


def write(html: str, page_size: str) -> bytes:
    fetcher, fonts = StaticFetcher(), FontConfiguration()
    sheet = CSS(
        string=f"{FONT_FACES} html {{ font-family: Bench Sans, sans-serif }} @page {{ size: {page_size} }}",
        url_fetcher=fetcher,
        font_config=fonts,
    )
    document = HTML(string=html, base_url=f"{SCHEME}:///", url_fetcher=fetcher)
    pdf: bytes = document.write_pdf(
        stylesheets=[sheet], font_config=fonts, pdf_variant="pdf/ua-1", finisher=lambda _, made: finish(made)
    )
    return pdf
