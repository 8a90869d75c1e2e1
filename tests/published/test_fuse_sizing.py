"""Fuse sizing: 1.25 times the continuous current, from fuse makers' public application notes; fault current by Ohm's
law.

The notes size 160 A to a 200 A fuse and ask for an interrupting rating of at least full voltage over pack and cable
resistance. The fault figures are worked from that rule.
"""

from __future__ import annotations

import pytest

from quoting.wiring import fuse_least_a, short_circuit_a, standard_fuse_a


def test_the_notes_example() -> None:
    assert fuse_least_a(160.0) == 200.0
    assert standard_fuse_a(fuse_least_a(160.0)) == 200.0
    assert standard_fuse_a(fuse_least_a(161.0)) == 225.0  # 201.25 A, the next rating


def test_fault_current_of_twenty_series_ten_parallel() -> None:
    # 20 × 15 mΩ / 10 = 30 mΩ: 84 V / 0.030 = 2800 A bolted; with 1 mΩ of cable 84/0.031 = 2709.7 A
    assert short_circuit_a(84.0, 0.030) == pytest.approx(2800.0)
    assert short_circuit_a(84.0, 0.030, 0.001) == pytest.approx(2709.7, abs=0.05)
