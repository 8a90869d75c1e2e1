"""PDF output is deaf to what a document asks for from outside: no network, no file but our own static ones."""

import http.server
import io
import os
import threading
from collections.abc import Iterator

import pikepdf
import pytest

from shop import pdf

pytestmark = pytest.mark.skipif(
    bool(pdf.missing_libraries()) and not os.environ.get("CI"), reason=f"Pango is missing. {pdf.PANGO_REMEDY}"
)


class Listener(http.server.BaseHTTPRequestHandler):
    """Answers anything, and remembers that it was asked."""

    asked: list[str] = []

    def do_GET(self) -> None:
        self.asked.append(self.path)
        self.send_response(200)
        self.end_headers()
        self.wfile.write(b"secret from the network")

    def log_message(self, *_: object) -> None:
        pass


@pytest.fixture
def listener() -> Iterator[str]:
    Listener.asked.clear()
    server = http.server.HTTPServer(("127.0.0.1", 0), Listener)
    thread = threading.Thread(target=server.serve_forever, args=(0.01,))
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    thread.join()
    server.server_close()


SVG_INSIDE = "data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' xmlns:xlink='http://www.w3.org/1999/xlink'%3E{}%3C/svg%3E"
HOSTILE = {
    "image": "<img alt='x' src='{}'>",
    "style sheet": "<link rel=stylesheet href='{}'>",
    "imported style": "<style>@import url('{}');</style>",
    "attachment": "<link rel=attachment href='{}'>",
    "attached link": "<a rel=attachment href='{}'>x</a>",
    "background": "<p style='background:url({})'>x</p>",
    "font": "<style>@font-face{{font-family:x;src:url('{}')}} p{{font-family:x}}</style><p>x</p>",
    "list mark": "<ul style='list-style-image:url({})'><li>x</li></ul>",
    "content": "<style>p::before{{content:url('{}')}}</style><p>x</p>",
    "object": "<object data='{}'>x</object>",
    "embed": "<embed src='{}'>",
    "drawing's image": "<svg width=9 height=9><image href='{}' width=9 height=9 /></svg>",
    "drawing's use": "<svg width=9 height=9><use href='{}#x'/></svg>",
    "base": "<base href='{}'><img alt='x' src='x.png'>",
    "drawing in an address": "<img alt='x' src=\"" + SVG_INSIDE.format("%3Cimage xlink:href='{}'/%3E") + '">',
}
SECRET = "kept-by-the-shop"


@pytest.mark.parametrize("inserted", HOSTILE.values(), ids=HOSTILE)
def test_the_network_is_never_asked(listener, inserted):
    render_or_refuse(inserted.format(f"{listener}/x.png"))
    assert Listener.asked == []


@pytest.mark.parametrize("inserted", HOSTILE.values(), ids=HOSTILE)
def test_no_file_of_the_machine_gets_in(tmp_path, inserted):
    (tmp_path / "secret.txt").write_text(SECRET)
    (tmp_path / "x.png").write_text(SECRET)
    for address in (f"file://{tmp_path}/secret.txt", f"{tmp_path}/secret.txt", f"file://{tmp_path}/"):
        data = render_or_refuse(inserted.format(address))
        if data:
            assert not leaks(data)


def render_or_refuse(body: str) -> bytes:
    page = f"<!doctype html><html lang=en><head><title>x</title></head><body><h1>x</h1>{body}</body></html>"
    try:
        return pdf.render_pdf(page)
    except pdf.PdfRefused:
        return b""


def leaks(data: bytes) -> bool:
    with pikepdf.open(io.BytesIO(data)) as document:
        streams = [item.read_bytes() for item in document.objects if isinstance(item, pikepdf.Stream)]
        return bool(document.attachments) or any(SECRET.encode() in stream for stream in streams)


@pytest.mark.parametrize(
    "address",
    [
        "app:///../shop/settings.py",  # outside static/
        "app:///%2e%2e/manage.py",
        "app:///css/../../.env.example",
        "app:////etc/hostname",
        "app:///fonts/OFL.txt",  # inside, but not of a kind a document uses
        "data:text/html,x",  # carried in the page, but no image
        "http://localhost/x.png",
        "ftp://localhost/x.png",
    ],
)
def test_what_is_refused_is_named(address):
    with pytest.raises(pdf.PdfRefused, match="only our own static files"):
        pdf.render_pdf(f"<html lang=en><title>x</title><img alt=x src='{address}'>")


def test_a_missing_file_of_ours_is_refused_too():
    with pytest.raises(pdf.PdfRefused):
        pdf.render_pdf("<html lang=en><title>x</title><img alt=x src='app:///no-such.png'>")
