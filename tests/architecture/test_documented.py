"""What a person can set or meet is written down where they look for it."""

import re

import pytest

from quoting.rules import all_rules
from shop import environment, environment_docs
from tests.architecture import tree


def document(name: str) -> str:
    path = tree.ROOT / name
    assert path.is_file(), f"{name} is missing"
    return path.read_text(encoding="utf-8")


@pytest.mark.parametrize("variable", environment.VARIABLES, ids=lambda variable: variable.name)
def test_every_environment_variable_stands_in_readme(variable):
    assert f"| `{variable.name}` |" in document("README.md")


def test_readme_shows_the_settings_table_as_it_is():
    """If this fails: put the output of `python3 -m shop.environment_docs readme` in the place of README's table."""
    assert environment_docs.readme() in document("README.md")


@pytest.mark.parametrize("rule", all_rules(), ids=lambda rule: rule.id)
def test_every_finding_stands_in_developers(rule):
    assert f"`{rule.id}`" in document("DEVELOPERS.md")


def test_developers_lists_no_finding_that_is_gone():
    """Finding ids are the first column of the table under the heading that names findings."""
    section = document("DEVELOPERS.md").partition("## Findings")[2].partition("\n## ")[0]
    listed = re.findall(r"^\| `([^`]+)` \|", section, flags=re.MULTILINE)
    assert listed, "DEVELOPERS.md has no table under ## Findings"
    assert set(listed) == {rule.id for rule in all_rules()}
