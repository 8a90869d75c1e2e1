"""House style 2: a file, a function, a view, a template or a style sheet that outgrows its limit is cut by subject."""

from pathlib import Path

import pytest

from tests.architecture import tree

FILE_LINES = 400
FUNCTION_LINES = 60
VIEW_LINES = 40
TEMPLATE_LINES = 150
STYLE_LINES = 250


def line_count(path: Path) -> int:
    return len(path.read_text(encoding="utf-8").splitlines())


def too_long(paths: list[Path], limit: int) -> dict[str, int]:
    return {tree.name(path): lines for path in paths if (lines := line_count(path)) > limit}


def test_python_files():
    paths = [tree.ROOT / "manage.py", *tree.python_files(*tree.SOURCES)]
    assert len(paths) > 10
    assert too_long(paths, FILE_LINES) == {}


def test_templates():
    assert too_long(tree.files(".html", "templates"), TEMPLATE_LINES) == {}


def test_style_sheets():
    assert too_long(tree.files(".css", "static"), STYLE_LINES) == {}


@pytest.mark.parametrize(("folders", "limit"), [(tree.SOURCES, FUNCTION_LINES), (("shop/views",), VIEW_LINES)])
def test_functions(folders: tuple[str, ...], limit: int):
    long = {}
    for path in tree.python_files(*folders):
        for function in tree.functions(tree.parse(path)):
            lines = (function.end_lineno or 0) - function.lineno + 1
            if lines > limit:
                long[f"{tree.name(path)}:{function.lineno} {function.name}"] = lines
    assert long == {}
