"""`manage.py demo`, started as a person would, with its folder elsewhere."""

import http.cookiejar
import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.parse
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
START_S = 60


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        return int(taken.getsockname()[1])


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("demo")


def environment(folder: Path) -> dict[str, str]:
    kept = {name: os.environ[name] for name in ("PATH", "HOME", "LANG") if name in os.environ}
    return {**kept, "NO_BOOTSTRAP": "1", "DEMO_DIR": str(folder)}


def demo(folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "manage.py", "demo", *arguments]
    return subprocess.run(
        command,
        cwd=ROOT,
        env=environment(folder),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.fixture(scope="module")
def made(folder: Path) -> str:
    result = demo(folder, "--no-serve")
    assert result.returncode == 0, result.stderr
    return result.stdout


class Shop:
    """A running demo and a browser's cookies."""

    def __init__(self, folder: Path) -> None:
        self.port = free_port()
        command = [sys.executable, "manage.py", "demo", "--port", str(self.port)]
        self.log = folder / f"server-{self.port}.log"  # two may run at once
        with self.log.open("w") as log:
            self.process = subprocess.Popen(command, cwd=ROOT, env=environment(folder), stdout=log, stderr=log)
        self.browser = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(http.cookiejar.CookieJar()))

    def stop(self) -> int:
        """Ask it to stop, as a service manager does: killed, it would leave its worker behind."""
        self.process.send_signal(signal.SIGTERM)
        return self.process.wait(timeout=START_S)

    def said(self, text: str) -> str:
        """What it has printed, once that holds `text`."""
        deadline = time.monotonic() + START_S
        while time.monotonic() < deadline and self.process.poll() is None:
            if text in self.log.read_text():
                return self.log.read_text()
            time.sleep(0.05)
        pytest.fail(self.log.read_text())

    def get(self, path: str, **form: str) -> tuple[str, str]:
        """Where a request ends up, and the page. With a form: posted."""
        body = urllib.parse.urlencode(form).encode() if form else None
        with self.browser.open(f"http://localhost:{self.port}{path}", body) as answer:
            return answer.url, answer.read().decode()


@pytest.fixture(scope="module")
def shop(folder: Path, made: str) -> Iterator[Shop]:
    running = Shop(folder)
    running.said("The demo shop is open")
    yield running
    running.stop()


def test_it_makes_its_own_database_key_and_shop(folder, made):
    assert "Filling it with an invented shop" in made
    assert (folder / "demo.sqlite3").stat().st_size > 100_000
    assert (folder / "secret-key").stat().st_mode & 0o077 == 0  # nobody else may read the key


def test_the_second_start_has_nothing_to_make(folder, made):
    assert demo(folder, "--no-serve").stdout == ""


def test_it_says_where_it_is_and_how_to_sign_in_and_that_works(shop):
    said = shop.said("Sign in as owner, counter or builder")
    assert f"http://localhost:{shop.port}" in said
    password = re.search(r"the password of each is (\S+)", said)
    assert password
    _, page = shop.get("/sign-in/")
    token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', page)
    assert token
    where, _ = shop.get("/sign-in/", csrfmiddlewaretoken=token[1], username="counter", password=password[1])
    assert where == f"http://localhost:{shop.port}/"


def test_its_style_is_served_without_any_collecting(shop):
    _, page = shop.get("/sign-in/")
    sheets = re.findall(r'<link[^>]*rel="stylesheet"[^>]*href="([^"]+)"', page)
    assert sheets
    assert all(len(shop.get(sheet)[1]) > 50 for sheet in sheets)


def test_a_taken_port_is_said_plainly(folder, shop):
    result = demo(folder, "--port", str(shop.port))
    assert result.returncode == 1
    assert f"Cannot listen on 127.0.0.1:{shop.port}" in result.stderr
    assert "Try --port 8001" in result.stderr
    assert "Traceback" not in result.stderr


def test_it_keeps_away_from_a_real_shops_database(folder, monkeypatch):
    result = demo(folder, "--no-serve", "--settings", "tests.settings")
    assert result.returncode == 1
    assert "keeps to its own database" in result.stderr


def test_stopping_it_stops_its_worker_too(folder, made):
    running = Shop(folder)
    running.said("The demo shop is open")
    children = Path(f"/proc/{running.process.pid}/task/{running.process.pid}/children")
    if not children.exists():
        running.stop()
        pytest.skip("needs Linux's list of child processes")
    workers = [Path(f"/proc/{child}") for child in children.read_text().split()]
    assert len(workers) == 1
    assert running.stop() == 0
    assert not workers[0].exists()
    assert "Traceback" not in running.log.read_text()
