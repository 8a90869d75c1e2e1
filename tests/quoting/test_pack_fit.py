"""Whether cells and boxed parts go into the bays, and what is said when they do not."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.pack import hexagonal_count, square_count
from quoting.pack.packing import grids
from quoting.pack.spaces import FreeSpaces, Space, left_over
from quoting.request import Bay, PackPlan
from tests.quoting.setups import CELL, donor_with, line, pack_of, setup_with, working_text

# Without a pack box 5 mm go off each side: inside 290 × 190 × 150. A layer of 70.5 mm cells takes 74.5: two upright.
# Pitch 22 mm, hexagonal rows 19.053 mm apart. Rows along the width: (290 − 21.5)/19.053 + 1 = 15 rows of 8
# ((190 − 21.5)/22 + 1 = 8.7, shifted (179 − 21.5)/22 + 1 = 8.2), 120 a layer, 240 in two. Rows along the length give
# 9 rows, 13 and 12: 113. Square rows 13 × 8 = 104. Lying lengthwise 3 × 56, crosswise 2 × 90: fewer.
BAY = Bay(name="engine bay", length_mm=300, width_mm=200, height_mm=160, x_m=0.6)
TAIL = Bay(name="tail", length_mm=200, width_mm=150, height_mm=100, x_m=1.2)
BOX = {
    "inner_length_mm": 294.0,
    "inner_width_mm": 194.0,
    "inner_height_mm": 154.0,
    "length_mm": 300.0,
    "width_mm": 200.0,
    "height_mm": 160.0,
    "mass_kg": 5.0,
}


def plan(series: int, parallel: int, *bays: str) -> PackPlan:
    return PackPlan(series=series, parallel=parallel, bays=bays)


def test_square_and_hexagonal_rows_in_a_rectangle() -> None:
    assert square_count(100, 100, 20) == 25
    assert hexagonal_count(100, 100, 20) == 23  # rows (100 − 20)/17.32 + 1 = 5.6: 5, 4, 5, 4, 5
    assert hexagonal_count(110, 100, 20) == 25  # the shifted rows now hold 5 as well
    assert square_count(100, 100, 20, 22) == 16  # (100 − 20)/22 + 1 = 4.6 a side
    assert square_count(19, 100, 20) == 0
    assert hexagonal_count(100, 19, 20) == 0


@given(along=st.floats(5, 400), across=st.floats(5, 400), diameter=st.floats(5, 60), gap=st.floats(0, 5))
def test_hexagonal_rows_stay_inside_and_apart(along: float, across: float, diameter: float, gap: float) -> None:
    pitch = diameter + gap
    rows = [
        (side, row)
        for row in range(200)
        for side in range(200)
        if diameter + side * pitch + (row % 2) * pitch / 2 <= along + 1e-6
        and diameter + row * pitch * math.sqrt(3) / 2 <= across + 1e-6
    ]
    assert hexagonal_count(along, across, diameter, pitch) == len(rows)
    # neighbors in the next row stand half a pitch and √3/2 of a pitch away: exactly one pitch
    assert math.hypot(pitch / 2, pitch * math.sqrt(3) / 2) == pytest.approx(pitch)


def test_a_pack_that_fills_its_bay_fits_and_one_cell_more_does_not() -> None:
    cells = line("cell", CELL, 240)
    full = pack_of(setup_with(cells, plan=plan(20, 12), donor=donor_with(BAY)))
    assert [(fit.bay, fit.capacity, fit.used, fit.layout) for fit in full.fit] == [
        ("engine bay", 240, 240, "upright, hexagonal rows, 2 layers of 120")
    ]
    assert full.unplaced == ()
    over = pack_of(setup_with(cells, plan=plan(241, 1), donor=donor_with(BAY)))
    assert over.unplaced == ("1 of 241 cells: there is room for 240.",)


def test_the_working_shows_every_clearance_that_was_assumed() -> None:
    bare = pack_of(setup_with(line("cell", CELL, 240), donor=donor_with(BAY)))
    text = working_text(bare.workings, "fit")
    assert text.count("(assumed)") == 4
    assert "5.0 mm (assumed)" in text
    assert "240 of 240 cells placed" in text
    boxed = pack_of(setup_with(line("cell", CELL, 240), line("enclosure", BOX), donor=donor_with(BAY)))
    assert "insulation inside the pack box" in working_text(boxed.workings, "fit")


def test_cells_go_on_into_the_next_bay_in_the_plans_order() -> None:
    # the tail holds inside 190 × 140 × 90: one upright layer. Rows along the length: (140 − 21.5)/19.053 + 1 = 7 rows
    # of 8 and 8 ((190 − 21.5)/22 + 1 = 8.7; shifted 8.2): 56. Along the width: (168.5)/19.053 + 1 = 9 rows of 6 and 5
    # ((140 − 21.5)/22 + 1 = 6.4; (129 − 21.5)/22 + 1 = 5.9): 50. Lying lengthwise 2 layers: 140 × 90 in rows along the
    # length 4 rows of 6, 5: 22; crosswise 1 layer.
    setup = setup_with(line("cell", CELL, 280), plan=plan(20, 14, "tail", "engine bay"), donor=donor_with(BAY, TAIL))
    assert [(fit.bay, fit.capacity, fit.used) for fit in pack_of(setup).fit] == [
        ("tail", 56, 56),
        ("engine bay", 240, 224),
    ]
    roomiest_first = setup_with(line("cell", CELL, 280), plan=plan(20, 14), donor=donor_with(TAIL, BAY))
    assert [(fit.bay, fit.used) for fit in pack_of(roomiest_first).fit] == [("engine bay", 240), ("tail", 40)]


def test_a_bay_the_donor_does_not_have_is_named() -> None:
    setup = setup_with(line("cell", CELL, 40), plan=plan(20, 2, "sidecar"), donor=donor_with(BAY))
    pack = pack_of(setup)
    assert "bay 'sidecar' of the donor" in pack.missing
    assert pack.fit == ()


def test_a_bay_smaller_than_its_walls_and_a_bay_named_twice() -> None:
    slot = Bay(name="slot", length_mm=300, width_mm=200, height_mm=8)
    flat = pack_of(setup_with(line("cell", CELL, 40), plan=plan(20, 2), donor=donor_with(slot)))
    assert [(fit.capacity, fit.used) for fit in flat.fit] == [(0, 0)]
    module = {"length_mm": 140.0, "width_mm": 90.0, "height_mm": 70.0}
    stacked = pack_of(setup_with(line("module", module, 2), plan=plan(2, 1), donor=donor_with(slot)))
    assert stacked.unplaced == ("2 of 2 modules: there is room for 0.",)
    twice = setup_with(line("cell", CELL, 300), plan=plan(20, 15, "engine bay", "engine bay"), donor=donor_with(BAY))
    assert pack_of(twice).unplaced == ("60 of 300 cells: there is room for 240.",)


def test_without_bays_or_a_cell_size_nothing_is_said_to_fit() -> None:
    bare = pack_of(setup_with(line("cell", CELL, 240), donor=donor_with()))
    assert (bare.fit, "bays of the donor" in bare.missing) == ((), True)
    cell = {name: value for name, value in CELL.items() if name != "length_mm"}
    sizeless = pack_of(setup_with(line("cell", cell, 240), line("charger", {"mass_kg": 3.0}), donor=donor_with(BAY)))
    assert (sizeless.fit, sizeless.placed) == ((), ())
    assert "cell size" in sizeless.missing


def test_without_a_donor_there_is_nothing_to_fit_and_nothing_missing() -> None:
    pack = pack_of(setup_with(line("cell", CELL, 240)))
    assert (pack.fit, pack.missing) == ((), ("motor",))


def test_a_pack_box_is_set_in_the_bay_and_its_inside_counts() -> None:
    # inside less 2 mm insulation each side: 290 × 190 × 150, the same room as the bay alone
    pack = pack_of(setup_with(line("cell", CELL, 240), line("enclosure", BOX), donor=donor_with(BAY)))
    assert [(fit.bay, fit.capacity, fit.used) for fit in pack.fit] == [("engine bay", 240, 240)]
    assert pack.unplaced == ()


def test_a_pack_box_is_turned_when_it_only_fits_so() -> None:
    standing = Bay(name="engine bay", length_mm=165, width_mm=205, height_mm=305)
    pack = pack_of(setup_with(line("cell", CELL, 240), line("enclosure", BOX), donor=donor_with(standing)))
    assert [(fit.capacity, fit.layout) for fit in pack.fit] == [
        (240, "lying lengthwise, hexagonal rows, 2 layers of 120")
    ]


def test_a_pack_box_too_long_for_its_bay_says_by_how_much() -> None:
    box = {**BOX, "length_mm": 312.0}
    metric = pack_of(setup_with(line("cell", CELL, 240), line("enclosure", box), donor=donor_with(BAY)))
    assert metric.unplaced == (
        "enclosure: its longest side is 12 mm too long for engine bay (300 mm × 200 mm × 160 mm).",
    )
    assert metric.fit == ()
    us = pack_of(setup_with(line("cell", CELL, 240), line("enclosure", box), donor=donor_with(BAY), units="us"))
    assert "0.47 in too long" in us.unplaced[0]  # 12 / 25.4


def test_a_pack_box_goes_only_into_the_packs_bays() -> None:
    setup = setup_with(
        line("cell", CELL, 40), line("enclosure", BOX), plan=plan(20, 2, "tail"), donor=donor_with(BAY, TAIL)
    )
    assert pack_of(setup).unplaced[0].startswith("enclosure: its longest side is 100 mm too long for tail")


@pytest.mark.parametrize(
    ("lost", "named"), [("inner_width_mm", "inside size of enclosure"), ("width_mm", "outside size of enclosure")]
)
def test_a_pack_box_without_a_size_is_missing_not_fitting(lost: str, named: str) -> None:
    box = {name: value for name, value in BOX.items() if name != lost}
    pack = pack_of(setup_with(line("cell", CELL, 240), line("enclosure", box), donor=donor_with(BAY)))
    assert named in pack.missing
    assert all(fit.bay != "engine bay" for fit in pack.fit)


def test_boxed_parts_go_into_what_the_cells_leave_largest_first() -> None:
    charger = {"length_mm": 180.0, "width_mm": 120.0, "height_mm": 80.0}
    bms = {"length_mm": 100.0, "width_mm": 60.0, "height_mm": 20.0}
    parts = (line("cell", CELL, 240), line("bms", bms), line("charger", charger))
    pack = pack_of(setup_with(*parts, donor=donor_with(BAY, TAIL)))
    assert pack.placed == (("CHARGER", "tail"), ("BMS", "tail"))
    assert pack.unplaced == ()


def test_a_part_that_does_not_go_in_names_its_side_and_the_shortfall() -> None:
    # bay filled; the tail takes 200 × 150 × 100, the charger with 5 mm around it 205 × 125 × 95
    charger = {"length_mm": 200.0, "width_mm": 120.0, "height_mm": 90.0}
    parts = (line("cell", CELL, 240), line("charger", charger))
    pack = pack_of(setup_with(*parts, plan=plan(20, 12, "engine bay"), donor=donor_with(BAY, TAIL)))
    assert pack.unplaced == ("charger: its longest side is 5.0 mm too long for tail (200 mm × 150 mm × 100 mm).",)
    one_more = {"length_mm": 195.0, "width_mm": 120.0, "height_mm": 90.0}
    parts = (line("cell", CELL, 240), line("charger", one_more, 2))
    pack = pack_of(setup_with(*parts, plan=plan(20, 12, "engine bay"), donor=donor_with(BAY, TAIL)))
    assert pack.placed == (("CHARGER", "tail"),)
    assert len(pack.unplaced) == 1


def test_a_part_without_a_size_is_missing_not_placed() -> None:
    parts = (line("cell", CELL, 40), line("dcdc", {"length_mm": 100.0, "width_mm": 50.0}))
    pack = pack_of(setup_with(*parts, plan=plan(20, 2), donor=donor_with(BAY)))
    assert "size of dcdc" in pack.missing
    assert (pack.placed, pack.unplaced) == ((), ())


def test_modules_are_stacked_as_boxes() -> None:
    module = {"cells_in_series": 10, "length_mm": 140.0, "width_mm": 90.0, "height_mm": 70.0}
    pack = pack_of(setup_with(line("module", module, 8), plan=plan(4, 2), donor=donor_with(BAY)))
    # inside 290 × 190 × 150 with 1 mm between: 2 × 2 × 2
    assert [(fit.capacity, fit.used, fit.layout) for fit in pack.fit] == [(8, 8, "2 long, 2 wide, 2 high")]


def test_lead_blocks_stay_upright() -> None:
    tall = (80.0, 80.0, 180.0)
    assert not list(grids((200.0, 200.0, 150.0), tall, keep_upright=True))
    assert max(grid.capacity for grid in grids((200.0, 200.0, 150.0), tall)) == 2
    block = {"chemistry": "lead", "length_mm": 80.0, "width_mm": 80.0, "height_mm": 180.0}
    low = Bay(name="low", length_mm=210, width_mm=210, height_mm=160)
    pack = pack_of(setup_with(line("cell", block, 2), plan=plan(2, 1), donor=donor_with(low)))
    assert pack.unplaced == ("2 of 2 cells: there is room for 0.",)


@given(
    size=st.tuples(st.floats(50, 500), st.floats(50, 500), st.floats(50, 500)),
    share=st.tuples(st.floats(0.1, 1), st.floats(0.1, 1), st.floats(0.1, 1)),
)
def test_what_a_block_leaves_is_never_more_than_was_there(size, share) -> None:
    block = tuple(side * part for side, part in zip(size, share, strict=True))
    space = Space("bay", size)
    left = left_over(space, block)
    assert sum(piece.volume for piece in left) + math.prod(block) <= space.volume * (1 + 1e-9)
    assert all(piece.size[side] <= size[side] for piece in left for side in range(3))


@given(st.lists(st.tuples(*(st.floats(20, 200) for _ in range(3))), min_size=1, max_size=8))
def test_placed_parts_never_take_more_than_the_bay(sizes) -> None:
    free = FreeSpaces([Space("bay", (300.0, 200.0, 160.0))])
    placed = [size for size in sizes if free.place(size) is not None]
    assert sum(math.prod(side + 5.0 for side in size) for size in placed) <= 300 * 200 * 160 * (1 + 1e-9)
