"""Names and marks that may not stand in the project's files."""

import re
from pathlib import Path

from tests.architecture import tree

VAGUE = {"utils", "util", "helpers", "helper", "common", "misc"}
UNFINISHED = re.compile(r"(#|//|<!--|/\*).*\b(TO" r"DO|FIX" r"ME|XX" r"X)\b|raise Not" r"Implemented")
# Refused by our Content-Security-Policy, so they would silently do nothing: attributes that carry code or style.
INLINE = re.compile(
    r"""<[^>]*\s(style|on[a-z]+|hx-on[a-z:-]*)\s*=|<style\b|<script(?![^>]*\ssrc=)[^>]*>""", re.IGNORECASE
)


def all_files() -> list[Path]:
    python = [tree.ROOT / "manage.py", *tree.files(".py", *tree.SOURCES)]
    return [*python, *tree.files(".html", "templates"), *tree.files(".css", "static"), *tree.files(".js", "static")]


def lines_matching(pattern: re.Pattern[str], paths: list[Path]) -> list[str]:
    return [
        f"{tree.name(path)}:{number} {line.strip()[:80]}"
        for path in paths
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1)
        if pattern.search(line)
    ]


def test_file_names_say_what_is_inside():
    assert [tree.name(path) for path in all_files() if {path.stem.strip("_"), *path.parent.parts} & VAGUE] == []


def test_nothing_is_left_unfinished():
    assert lines_matching(UNFINISHED, all_files()) == []


def pages() -> list[Path]:
    """Templates a browser shows; documents become PDF and mail goes elsewhere, both without our policy."""
    return [path for path in tree.files(".html", "templates") if not {"documents", "emails"} & set(path.parts)]


def test_no_page_carries_what_our_own_policy_refuses():
    assert lines_matching(INLINE, pages()) == []


def test_what_the_policy_refuses_is_recognized():
    for text in (
        '<p style="x">',
        "<a href='#' onclick='x()'>",
        '<b hx-on:click="x">',
        "<style>",
        "<script>",
        "<script defer>",
    ):
        assert INLINE.search(text), text
    for text in (
        "<script src=\"{% static 'site.js' %}\" defer>",
        '<p data-style="x">',
        '<meta name="x" content="on=1">',
    ):
        assert not INLINE.search(text), text


def test_test_files_are_all_collected():
    """A file of tests under another name would never run."""
    missed = [
        f"{tree.name(path)}:{function.lineno}"
        for path in tree.python_files("tests")
        if not path.name.startswith("test_")
        for function in tree.functions(tree.parse(path))
        if function.name.startswith("test_")
    ]
    assert missed == []
