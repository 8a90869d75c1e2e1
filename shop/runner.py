from pathlib import Path
from typing import Any

import pytest


class PytestRunner:
    """`manage.py test` runs pytest. What follows `--` goes to it unread: `manage.py test -- -m slow tests/quoting`."""

    def __init__(self, *, verbosity: int = 1, failfast: bool = False, interactive: bool = True, **_: Any) -> None:
        self.options = ["--verbose"] * (verbosity - 1) + ["--exitfirst"] * failfast

    def run_tests(self, test_labels: list[str]) -> int:
        """Django exits with failure when this is not 0, so "no test was run" counts as one too."""
        options = [*self.options, *test_labels]
        if not any(Path(label.split("::")[0]).exists() for label in test_labels):  # the whole suite: use every core
            options += ["--numprocesses=auto", "--dist=loadfile", "--no-loadscope-reorder"]
        return int(pytest.main(options))
