"""The compiler and the solver take seconds to load: no web process does so by importing the engine."""

import subprocess
import sys

from tests.architecture import tree

ASK = "import sys, quoting, quoting.odds, quoting.replanning; print({'numba', 'ortools'} & set(sys.modules))"


def test_importing_the_engine_loads_neither_numba_nor_or_tools():
    asked = subprocess.run([sys.executable, "-c", ASK], cwd=tree.ROOT, capture_output=True, text=True, check=True)
    assert asked.stdout.strip() == "set()"
