"""What an import would do: counts, differences, and errors that name row, column, problem and remedy."""

from datetime import date
from decimal import Decimal

import pytest

from shop.importing.plan import ImportPlan, plan_import
from shop.models import Component, Offer
from tests.shop.importing.made_files import DAY, HEADING, ROW, csv_file, make_fuse
from tests.shop.made_parts import make_supplier

pytestmark = pytest.mark.django_db


def plan(*lines: str) -> ImportPlan:
    return plan_import(csv_file(*lines), "parts.csv", DAY)


def told(*lines: str) -> list[tuple[int, str]]:
    return [(problem.row, problem.column) for problem in plan(*lines).problems]


def test_a_new_component_is_added_and_nothing_is_written():
    make_supplier()
    found = plan(HEADING, ROW)
    assert (found.added, found.changed, found.unchanged) == (1, 0, 0)
    assert found.problems == ()
    assert found.may_apply
    assert Component.objects.count() == 0
    assert Offer.objects.count() == 0
    row = found.rows[0]
    assert row.component.spec == {"rating_a": 225.0, "dc_v": 125.0}
    assert row.offer is not None
    assert row.offer.unit_cost == Decimal("14.2")
    assert row.offer.preferred


def test_the_same_again_is_unchanged():
    make_fuse(make_supplier())
    found = plan(HEADING, ROW)
    assert (found.added, found.changed, found.unchanged) == (0, 0, 1)
    assert not found.may_apply


def test_what_changes_is_told_field_by_field():
    make_fuse(make_supplier())
    found = plan(HEADING, "FUS-9,fuse,Main fuse 225 A,31,north-yard,15.4,2026-03-01,10,225,150 V")
    assert (found.added, found.changed) == (0, 1)
    assert [(each.column, each.before, each.after) for each in found.rows[0].differences] == [
        ("list_price", "28.5", "31"),
        ("dc_v", "125 V", "150 V"),
        ("unit_cost", "14.2", "15.4"),
        ("priced_on", "2026-02-01", "2026-03-01"),
        ("lead_days", "12 days", "10 days"),
    ]
    kept = Component.objects.get()
    assert (kept.list_price, kept.spec["dc_v"]) == (Decimal("28.5"), 125.0)


def test_a_column_left_out_leaves_its_value_and_an_empty_cell_empties_it():
    make_fuse(make_supplier())
    untouched = plan("code,kind,name", "FUS-9,fuse,Main fuse 225 A")
    assert untouched.unchanged == 1
    emptied = plan("code,kind,name,list_price,dc_v", "FUS-9,fuse,Main fuse 225 A,,")
    assert [(each.column, each.after) for each in emptied.rows[0].differences] == [
        ("list_price", "empty"),
        ("dc_v", "empty"),
    ]
    assert emptied.rows[0].component.spec == {"rating_a": 225.0}


def test_one_file_holds_several_kinds():
    found = plan(
        "code,kind,name,rating_a,marking,end",
        "FUS-9,fuse,Main fuse,225,,",
        "TIR-9,tire,Rear tire,,130/70-17,rear",
    )
    assert found.added == 2
    assert found.rows[1].component.spec == {"marking": "130/70-17", "end": "rear"}


def test_a_value_for_another_kind_is_refused_by_name():
    problem = plan("code,kind,name,rating_a,marking", "TIR-9,tire,Rear tire,225,130/70-17").problems[0]
    assert (problem.row, problem.column) == (2, "rating_a")
    assert problem.problem == "Tires has no such field."
    assert "fuse" in problem.remedy


def test_spec_figures_take_units_and_are_held_to_limits():
    found = plan("code,kind,name,rating_a,dc_v", "F-1,fuse,Fuse,200 A,0.15 kV")
    assert found.rows[0].component.spec == {"rating_a": 200.0, "dc_v": 150.0}
    wrong = plan("code,kind,name,rating_a,dc_v", "F-1,fuse,Fuse,5000,72 lb")
    assert [(problem.column, problem.problem) for problem in wrong.problems] == [
        ("rating_a", "5000 A is above 2000."),
        ("dc_v", "'72 lb' cannot be read as V."),
    ]
    assert all(problem.remedy for problem in wrong.problems)


def test_words_and_lists():
    heading = "code,kind,name,throttles,throttle_isolated"
    found = plan(heading, 'C-1,controller,Controller,"hall; pot",yes')
    assert found.rows[0].component.spec == {"throttles": ["hall", "pot"], "throttle_isolated": True}
    assert told(heading, "C-1,controller,Controller,steam,perhaps") == [(2, "throttles"), (2, "throttle_isolated")]


@pytest.mark.parametrize(
    ("heading", "row", "column", "remedy"),
    [
        ("code,kind,name", ",fuse,Fuse", "code", "Fill it in"),
        ("code,kind,name", "F-1,,Fuse", "kind", "Fill in the column kind"),
        ("code,kind,name", "F-1,fuse,", "name", "Fill in the column name"),
        ("code,kind,name", "F-1,fuze,Fuse", "kind", "Use fuse."),
        ("code,kind,name,tax_class", "F-1,fuse,Fuse,food", "tax_class", "Use one of parts"),
        ("code,kind,name,supplier,unit_cost", "F-1,fuse,Fuse,nobody,3", "supplier", "add the supplier first"),
        ("code,kind,name,supplier,unit_cost", "F-1,fuse,Fuse,,3", "unit_cost", "column supplier"),
        ("code,kind,name,supplier,unit_cost", "F-1,fuse,Fuse,north-yard,", "unit_cost", "what the supplier asks"),
        (
            "code,kind,name,supplier,unit_cost,lead_low_days,lead_days",
            "F-1,fuse,Fuse,north-yard,3,9,5",
            "lead_days",
            "in order",
        ),
        ("code,kind,name,list_price", 'F-1,fuse,Fuse,"3,50"', "list_price", "3.50"),
        ("code,kind,name", f"{'F' * 41},fuse,Fuse", "code", "at most 40"),
        ("code,kind,name", f"F-1,fuse,{'n' * 161}", "name", "at most 160"),
    ],
)
def test_row_errors_name_row_column_and_remedy(heading, row, column, remedy):
    make_supplier()
    problems = plan(heading, row).problems
    assert [(problem.row, problem.column) for problem in problems] == [(2, column)]
    assert remedy in problems[0].remedy


def test_every_error_of_a_file_is_told_at_once():
    assert told("code,kind,name,rating_a", ",fuse,Fuse,x", "F-2,fuze,Fuse,1", "F-3,fuse,Fuse,3") == [
        (2, "code"),
        (2, "rating_a"),
        (3, "kind"),
    ]


def test_unknown_and_missing_columns_are_named():
    problems = plan("code,kind,nane", "F-1,fuse,Fuse").problems
    assert [(problem.row, problem.column) for problem in problems] == [(1, "nane"), (2, "name")]
    assert "Did you mean name?" in problems[0].remedy
    assert told("kind,name", "fuse,Fuse") == [(1, "code")]


def test_a_known_component_needs_no_more_than_its_code_and_what_changes():
    make_fuse(make_supplier())
    row = plan("code,supplier,unit_cost", "FUS-9,north-yard,15").rows[0]
    assert [(each.column, each.after) for each in row.differences] == [("unit_cost", "15"), ("priced_on", "2026-03-02")]
    assert told("code,supplier,unit_cost", "FUS-8,north-yard,15") == [(2, "kind"), (2, "name")]


def test_a_code_twice_in_the_file():
    problems = plan("code,kind,name", "F-1,fuse,Fuse", "f-1,fuse,Fuse").problems
    assert [(problem.row, problem.problem) for problem in problems] == [(3, "'f-1' stands in row 2 already.")]


def test_a_component_keeps_its_kind():
    make_fuse(make_supplier())
    problem = plan("code,kind,name", "FUS-9,tire,Main fuse").problems[0]
    assert (problem.row, problem.column) == (2, "kind")
    assert "in the catalogue as main fuse" in problem.problem


def test_a_second_supplier_is_added_beside_the_preferred_one():
    component = make_fuse(make_supplier())
    make_supplier("south-yard")
    row = plan("code,kind,name,supplier,unit_cost", "FUS-9,fuse,Main fuse 225 A,south-yard,13").rows[0]
    assert row.offer is not None
    assert (row.offer.preferred, row.takes_preference) == (False, False)
    assert component.offers.get().preferred


def test_preferring_another_supplier_takes_the_preference():
    make_fuse(make_supplier())
    make_supplier("south-yard")
    heading = "code,kind,name,supplier,unit_cost,preferred"
    row = plan(heading, "FUS-9,fuse,Main fuse 225 A,south-yard,13,yes").rows[0]
    assert row.offer is not None
    assert (row.offer.preferred, row.takes_preference) == (True, True)


def test_an_empty_price_day_is_the_day_of_the_import_when_the_cost_changes():
    make_fuse(make_supplier())
    heading = "code,kind,name,supplier,unit_cost"
    same = plan(heading, "FUS-9,fuse,Main fuse 225 A,north-yard,14.20").rows[0]
    dearer = plan(heading, "FUS-9,fuse,Main fuse 225 A,north-yard,15").rows[0]
    assert same.offer is not None
    assert dearer.offer is not None
    assert same.offer.priced_on == date(2026, 2, 1)
    assert dearer.offer.priced_on == DAY


def test_the_fingerprint_follows_file_and_catalogue():
    supplier = make_supplier()
    before = plan(HEADING, ROW).fingerprint
    assert plan(HEADING, ROW).fingerprint == before
    make_fuse(supplier)
    assert plan(HEADING, ROW).fingerprint != before


def test_queries_do_not_grow_with_rows(django_assert_num_queries):
    make_supplier()
    for count in (1, 50):
        lines = [f"F-{number},fuse,Fuse {number},north-yard,{number}" for number in range(1, count + 1)]
        with django_assert_num_queries(2):  # suppliers and components; offers only of components that are known
            assert plan("code,kind,name,supplier,unit_cost", *lines).added == count
