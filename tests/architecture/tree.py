"""The project's own files, by kind: what git would keep, not what an environment or a shop's data adds."""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SOURCES = ("quoting", "shop", "tests")


def files(suffix: str, *folders: str) -> list[Path]:
    found = [path for folder in folders for path in (ROOT / folder).rglob(f"*{suffix}")]
    return sorted(path for path in found if "__pycache__" not in path.parts)


def python_files(*folders: str) -> list[Path]:
    """Without migrations, which Django writes."""
    return [path for path in files(".py", *folders) if "migrations" not in path.parts]


def name(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def module(path: Path) -> str:
    """shop/forms/__init__.py is shop.forms."""
    return ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


@cache
def parse(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


@cache
def functions(node: ast.AST) -> tuple[ast.FunctionDef | ast.AsyncFunctionDef, ...]:
    return tuple(child for child in ast.walk(node) if isinstance(child, (ast.FunctionDef, ast.AsyncFunctionDef)))


@cache
def imports(node: ast.AST) -> tuple[tuple[str, tuple[str, ...], int], ...]:
    """(module, names taken from it, line) of every import below a node; our own code has no relative ones."""
    return tuple(_imports(node))


def _imports(node: ast.AST) -> Iterator[tuple[str, tuple[str, ...], int]]:
    for child in ast.walk(node):
        if isinstance(child, ast.Import):
            yield from ((alias.name, (), child.lineno) for alias in child.names)
        elif isinstance(child, ast.ImportFrom):
            source = "." * child.level + (child.module or "")
            yield source, tuple(alias.name for alias in child.names), child.lineno
