"""python -m quoting.rules: the table of findings for DEVELOPERS.md."""

from __future__ import annotations

import sys

from quoting.rules.listing import findings_table

sys.stdout.write(findings_table())
