"""Who may know whom: quoting stands alone, shop enters it by its doors, and nobody reaches for private names."""

import sys

from importlinter.cli import lint_imports

from tests.architecture import tree

# The engine's whole world besides the standard library. numba and OR-Tools serve the promise calculations.
ENGINE_MAY_IMPORT = {"quoting", "numpy", "pint", "numba", "ortools"}
DOOR_DEPTH = 2  # quoting, and quoting.parts; not quoting.parts.drive


def test_the_contracts_in_pyproject_are_kept():
    assert lint_imports(config_filename=str(tree.ROOT / "pyproject.toml"), cache_dir=None) == 0


def test_quoting_imports_nothing_but_the_standard_library_and_its_few_tools():
    allowed = sys.stdlib_module_names | ENGINE_MAY_IMPORT
    strangers = [
        f"{tree.name(path)}:{line} imports {source}"
        for path in tree.python_files("quoting")
        for source, _, line in tree.imports(tree.parse(path))
        if source.split(".")[0] not in allowed
    ]
    assert strangers == []


def test_shop_enters_quoting_by_its_doors():
    inside = [
        f"{tree.name(path)}:{line} imports {source}"
        for path in tree.python_files("shop")
        for source, _, line in tree.imports(tree.parse(path))
        if source.split(".")[0] == "quoting" and len(source.split(".")) > DOOR_DEPTH
    ]
    assert inside == []


def test_imports_are_absolute():
    relative = [
        f"{tree.name(path)}:{line}"
        for path in tree.python_files(*tree.SOURCES)
        for source, _, line in tree.imports(tree.parse(path))
        if source.startswith(".")
    ]
    assert relative == []


def test_no_private_name_crosses_a_module():
    private = [
        f"{tree.name(path)}:{line} takes {taken} from {source}"
        for path in tree.python_files(*tree.SOURCES)
        for source, names, line in tree.imports(tree.parse(path))
        for taken in [*names, *source.split(".")]
        if taken.startswith("_") and not taken.startswith("__")
    ]
    assert private == []


def test_no_import_hides_in_a_function():
    """It would hide a circle. Optional libraries are loaded by importlib, in the one module that names them."""
    hidden = [
        f"{tree.name(path)}:{line} imports {source}"
        for path in tree.python_files("quoting", "shop")
        for function in tree.functions(tree.parse(path))
        for source, _, line in tree.imports(function)
    ]
    assert hidden == []


def test_only_one_module_names_weasyprint():
    naming = {
        tree.name(path)
        for path in tree.python_files("quoting", "shop")
        for source, _, _ in tree.imports(tree.parse(path))
        if source.split(".")[0] == "weasyprint"
    }
    assert naming == {"shop/pdf_engine.py"}
