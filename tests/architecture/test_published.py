"""tests/published: one file per source, named at its top, and no fewer checks than we say."""

import ast

from tests.architecture import tree

LEAST_CHECKS = 60
LEAST_SOURCE = 60  # characters: a standard and table, a book and page, or a page and what was read there


def published() -> dict[str, ast.Module]:
    return {tree.name(path): tree.parse(path) for path in tree.python_files("tests/published")}


def test_every_file_names_its_source_at_the_top():
    silent = [name for name, module in published().items() if len(ast.get_docstring(module) or "") < LEAST_SOURCE]
    assert silent == []


def test_there_are_at_least_sixty_checks():
    checks = [
        f"{name} {function.name}"
        for name, module in published().items()
        for function in tree.functions(module)
        if function.name.startswith("test_")
    ]
    assert len(checks) >= LEAST_CHECKS
