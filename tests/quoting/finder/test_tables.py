"""Rows of the finder's table: distinct tuples numbered by a table of all there could be, or sorted; packs by piece."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from quoting.finder import Store, tables
from quoting.finder.bench import bench_of
from quoting.finder.grow import grow
from quoting.finder.packs import Packs
from quoting.finder.scopes import RISING
from quoting.finder.worth import worth_of
from quoting.parts import KINDS
from quoting.promise import prepare
from quoting.result import PackFigures, WiringFigures
from quoting.rules import Facts
from quoting.rules.registry import rule_called
from quoting.setup import setup_of
from tests.quoting.finder.catalogues import EXAMPLE, asked, part, slot, slots_of
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


def facts_at(read: tuple[str, str], value: float) -> Facts:
    """The example's parts behind a pack and wiring that have one figure, without which the rule would not speak."""
    subject, field = read
    figures: dict[str, Any] = {
        "wiring": WiringFigures(),
        "pack": PackFigures(series=20, parallel=12, cells=240, series_cells=20),
    }
    figures[subject] = replace(figures[subject], **{field: value})
    setup = setup_of(EXAMPLE, EXAMPLE.options[0])
    return Facts(setup=setup, pack=figures["pack"], wiring=figures["wiring"])


@pytest.mark.parametrize("refused", [frozenset(), frozenset(RISING)], ids=["stops", "checks too"])
@pytest.mark.parametrize("name", RISING)
def test_past_its_limit_a_rising_figure_is_refused_for_good(name: str, refused: frozenset[str]) -> None:
    """1 A to 100 kA in steps of 5 %: passes at first, refused at last, and never passes again in between."""
    rule = rule_called(name)
    told = [tables.stops(rule, facts_at(RISING[name], 1.05**step), refused) for step in range(240)]
    assert told == sorted(told)
    assert set(told) == {False, True}


@pytest.mark.parametrize("name", RISING)
def test_a_rule_with_a_rising_figure_reads_no_other_figure(name: str) -> None:
    rule = rule_called(name)
    assert {read for read in rule.reads if read[0] not in KINDS} == {RISING[name]}
    assert not {"cell", "module"} & set(rule.kinds)


def test_halving_cuts_what_asking_one_by_one_cuts(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same rows and the same refusals of each rule, with a contactor and fuses that some packs overload."""
    slots, kept = slots_of(
        slot("motor", part("M1", "M-EX", "1890"), part("M2", "M-EX", "900", cont_kw=11, peak_kw=20)),
        slot("controller", part("C1", "C-EX", "880"), part("C2", "C-EX", "990", battery_cont_a=170)),
        slot("contactor", part("K1", "K-EX", "60"), part("K2", "K-EX", "40", cont_a=140)),
        slot("fuse", part("F1", "F-EX", "32"), part("F2", "F-EX", "30", rating_a=140, breaking_a=2400)),
    )
    question = asked(slots, (Store(line=part("E1", "CELL-EX", "5.40")),), kept, series=(18, 20), parallel=(9, 13))
    bench = bench_of(question)
    worth = worth_of(bench, prepare(question.request))
    halved = grow(bench, worth)
    monkeypatch.setattr(tables, "RISING", {})
    one_by_one = grow(bench, worth)
    assert {name: column.tolist() for name, column in halved.rows.items()} == {
        name: column.tolist() for name, column in one_by_one.rows.items()
    }
    assert halved.cutter.refusals == one_by_one.cutter.refusals
    assert halved.cutter.refusals["contactor-continuous"] > 0
    assert halved.cutter.refusals["fuse-under-steady-current"] > 0
    assert halved.cutter.refusals["fuse-breaking-capacity"] > 0
