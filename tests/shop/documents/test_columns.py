from __future__ import annotations

from shop.documents.columns import PrintItem, in_columns, print_columns


def test_the_tallest_column_is_as_low_as_can_be():
    # 9 | 3 3 3 | 4 4 is 9, 9, 8; any other cut in order has a column of ten or more
    assert in_columns([9, 3, 3, 3, 4, 4], 3, lambda height: height) == ((9,), (3, 3, 3), (4, 4))


def test_fewer_items_than_columns():
    assert in_columns([1, 2], 3, lambda height: height) == ((1,), (2,))
    assert in_columns([1], 3, lambda height: height) == ((1,),)
    assert in_columns([], 3, lambda height: height) == ()


def test_a_heading_stands_once_where_its_section_begins():
    terms = [PrintItem("x" * 20, "Deposit"), PrintItem("x" * 20, "Tax")]
    cautions = [PrintItem("x" * 40) for _ in range(4)]  # half lines: 7 | 3 + 7 | 3 + 3 + 3
    columns = print_columns((("Terms", terms), ("Cautions", cautions)), 3, 40)
    assert [[block.heading for block in column] for column in columns] == [["Terms"], ["", "Cautions"], [""]]
    assert [item for column in columns for block in column for item in block.items] == [*terms, *cautions]


def test_a_section_without_items_leaves_no_heading():
    columns = print_columns((("Terms", [PrintItem("x")]), ("Cautions", [])), 2, 40)
    assert [[block.heading for block in column] for column in columns] == [["Terms"]]
