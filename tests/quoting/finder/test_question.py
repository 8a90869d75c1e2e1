"""What the finder refuses to be asked, what it leaves out and says, and that its lean figures are the engine's."""

from __future__ import annotations

from dataclasses import fields, replace
from decimal import Decimal

import pytest

from quoting.errors import RequestError
from quoting.finder import Break, Choice, FinderRequest, Slot, Store, find_sets
from quoting.finder.lean import lean_pack, lean_wiring
from quoting.finder.question import raw_count
from quoting.pack import pack_figures
from quoting.request import Wishes
from quoting.ride import ride_figures
from quoting.setup import setup_of
from quoting.weight import weight_figures
from quoting.wiring import wiring_figures
from tests.quoting.finder.catalogues import EXAMPLE, asked, part, slot, slots_of


def plain(*motors: str, **spec: object) -> FinderRequest:
    """One controller, some motors alike, one cell, 20 in series and 12 in parallel."""
    slots, kept = slots_of(
        slot("motor", *(part(code, "M-EX", "1890", **spec) for code in motors)),
        slot("controller", part("C1", "C-EX", "880")),
    )
    return asked(slots, (Store(line=part("E1", "CELL-EX", "5.40")),), kept, series=(20, 20), parallel=(12, 12))


def problems(question: FinderRequest) -> dict[str, str]:
    with pytest.raises(RequestError) as refusal:
        find_sets(question)
    return {each.field: each.remedy for each in refusal.value.problems}


def test_a_plain_question_has_its_one_answer() -> None:
    answer = find_sets(plain("M1"))
    assert [(each.codes, each.store, each.series, each.parallel) for each in answer.sets] == [
        (("M1", "C1"), "E1", 20, 12)
    ]
    assert answer.counts.raw == 1


def test_of_two_parts_alike_one_is_shown() -> None:
    assert len(find_sets(plain("M1", "M2")).sets) == 1


def test_every_field_that_is_wrong_is_named() -> None:
    question = plain("M1")
    bare = replace(question.request, donor=None)
    wrong = replace(question, request=bare, stores=(), slots=question.slots[1:], shown=0, series=(5, 2))
    assert set(problems(wrong)) == {"request.donor", "stores", "slots", "shown", "series"}


def test_slots_are_held_to_one_name_and_to_something_to_choose() -> None:
    question = plain("M1")
    motors = question.slots[0]
    cells = Slot(name="spare", choices=(Choice(lines=(question.stores[0].line,)),))
    wrong = replace(question, slots=(*question.slots, motors, Slot(name="empty", choices=()), cells))
    found = problems(wrong)
    assert set(found) == {"slots.1 (motor)", "slots.3 (motor)", "slots.4 (empty)", "slots.5 (spare)"}
    assert found["slots.4 (empty)"] == "Add a priced empty to the catalogue."


def test_a_donor_nobody_has_weighed_is_sent_back() -> None:
    question = plain("M1")
    assert question.request.donor is not None
    donor = replace(question.request.donor, kerb_kg=None)
    assert set(problems(replace(question, request=replace(question.request, donor=donor)))) == {"donor.kerb_kg"}


def test_parts_that_cannot_be_judged_are_left_out_and_said() -> None:
    question = plain("M1")
    heavy = Choice(lines=(part("M0", "M-EX", "900", mass_kg=None),))
    odd = Choice(lines=(part("M9", "M-EX", "900", cont_kw="plenty"),))
    slots = (replace(question.slots[0], choices=(*question.slots[0].choices, heavy, odd)), *question.slots[1:])
    stores = (*question.stores, Store(line=part("E9", "CELL-EX", "1", capacity_ah=None)))
    answer = find_sets(replace(question, slots=slots, stores=stores))
    assert [each.codes for each in answer.sets] == [("M1", "C1")]
    why = dict(answer.left_out)
    assert why["M0"] == "its mass is not known"
    assert why["M9"].startswith("its spec cannot be read")
    assert why["E9"] == "not known: capacity_ah"


def test_nothing_buildable_says_which_rules_refuse() -> None:
    """80 V at most, and 20 x 4.2 V is 84 V: the motor refuses the pack."""
    answer = find_sets(plain("M1", max_v=80))
    assert answer.sets == ()
    assert answer.why_none == (("pack-full-over-motor-max", 1),)


def test_a_rule_on_parts_cuts_before_a_set_is_whole() -> None:
    """12 in parallel at 20 A give 240 A; a controller that draws 245 A is refused in the table, not set by set."""
    question = plain("M1")
    strong = slot("controller", part("C9", "C-EX", "990", battery_cont_a=245, battery_peak_a=400))
    answer = find_sets(replace(question, slots=(question.slots[0], strong)))
    assert answer.counts.judged == 0
    assert dict(answer.why_none)["cell-continuous-current"] == 1


def test_a_stop_that_no_part_changes_is_told_beside() -> None:
    question = plain("M1")
    answer = find_sets(replace(question, request=replace(question.request, tax_place=None)))
    assert len(answer.sets) == 1
    assert answer.beside == ("tax-place-missing",)


def test_wishes_that_giving_way_on_one_does_not_help_get_what_can_be_built() -> None:
    question = plain("M1")
    wishes = Wishes(town_km=900.0, budget=Decimal(100))
    answer = find_sets(replace(question, request=replace(question.request, wishes=wishes)))
    assert answer.sets == ()
    assert [(each.wish, each.cheapest) for each in answer.relaxations] == [("town_km", None), ("budget", None)]
    assert [miss.wish for miss in answer.nearest[0].misses] == ["town_km", "budget"]


def test_cells_take_the_price_of_their_quantity() -> None:
    """From 240 on they cost 5.00 each: 240 x 5.00 = 1,200.00 on the line."""
    question = plain("M1")
    store = replace(question.stores[0], breaks=(Break(from_quantity=240, unit_price=Decimal("5.00")),))
    (found,) = find_sets(replace(question, stores=(store,))).sets
    line = next(each for each in found.result.price.lines if each.code == "E1")
    assert (line.unit_price, line.amount) == (Decimal("5.00"), Decimal("1200.00"))


def test_raw_combinations_are_counted_before_anything_is_cut() -> None:
    """3 motors x 1 controller x 1 cell x 2 in series x 3 in parallel = 18."""
    assert raw_count(replace(plain("M1", "M2", "M3"), series=(20, 21), parallel=(10, 12))) == 18


def test_lean_pack_figures_are_the_engines() -> None:
    setup = setup_of(EXAMPLE, EXAMPLE.options[0])
    lean, full = lean_pack(setup), pack_figures(setup)
    assert lean is not None
    assert full is not None
    for name in (
        "series", "parallel", "cells", "series_cells", "chemistry", "nominal_v", "full_v", "empty_v", "capacity_ah",
        "energy_wh", "usable_wh", "resistance_ohm", "mass_kg", "cont_a", "cont_limit", "peak_a", "peak_limit",
        "charge_a", "short_circuit_a", "cut_v", "cut_by",
    ):  # fmt: skip
        assert getattr(lean, name) == getattr(full, name), name
    assert [(p.soc, p.load, p.loaded_v, p.current_a) for p in lean.sag] == [
        (p.soc, p.load, p.loaded_v, p.current_a) for p in full.sag
    ]
    assert {each.name for each in fields(lean)} >= {"sag"}


def test_lean_wiring_figures_are_the_engines() -> None:
    setup = setup_of(EXAMPLE, EXAMPLE.options[0])
    pack = pack_figures(setup)
    lean = lean_wiring(setup, pack, precharged=False)
    full = wiring_figures(setup, pack, ride_figures(setup, pack, weight_figures(setup, pack)))
    assert lean is not None
    assert full is not None
    assert (lean.battery_cont_a, lean.phase_cont_a) == (full.battery_cont_a, full.phase_cont_a)
    assert lean_wiring(setup, None, precharged=False) is None
