"""Rows of the finder's table: distinct tuples numbered by a table of all there could be, or sorted; packs by piece."""

from __future__ import annotations

import numpy as np
import pytest

from quoting.finder import tables
from quoting.finder.bench import bench_of
from quoting.finder.packs import Packs
from tests.quoting.finder.test_front import hub_catalogue


@pytest.mark.parametrize("most_keys", [tables.MOST_KEYS, 10])
@pytest.mark.parametrize("size", [0, 1, 900])
def test_distinct_tuples_in_rising_order_with_their_first_rows(
    monkeypatch: pytest.MonkeyPatch, size: int, most_keys: int
) -> None:
    monkeypatch.setattr(tables, "MOST_KEYS", most_keys)
    random = np.random.default_rng(7)
    rows = {name: random.integers(0, 4, size) for name in ("motor", "store", "series", "fuse")}
    tuples = list(zip(*(column.tolist() for column in rows.values()), strict=True))
    firsts, group = tables.distinct(rows, list(rows))
    assert [tuples[row] for row in firsts] == sorted(set(tuples))
    assert [tuples.index(each) for each in sorted(set(tuples))] == firsts.tolist()
    assert [sorted(set(tuples))[number] for number in group] == tuples


def test_a_pack_put_together_of_pieces_is_the_lean_one() -> None:
    """Every motor, controller, cell and count of a small catalogue, asked twice over and in another order of names."""
    bench = bench_of(hub_catalogue())
    packs = Packs(bench)
    for motor in (0, 1):
        for controller in (0, 1, 2):
            for store, series, parallel in ((0, 19, 11), (0, 21, 12), (1, 19, 12), (1, 21, 11)):
                parts = {"motor": motor, "controller": controller, "store": store}
                chosen = {**parts, "series": series, "parallel": parallel}
                whole = bench.pack(chosen)
                assert whole is not None
                assert packs.under_load(chosen) == whole
                assert packs.under_load(dict(reversed(chosen.items()))) == whole
