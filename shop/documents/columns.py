"""The small print set in columns of about the same height."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations, groupby, pairwise
from typing import TypeVar

Item = TypeVar("Item")


@dataclass(frozen=True)
class PrintItem:
    """One entry; `title` stands in front of the text, empty for none."""

    text: str
    title: str = ""


@dataclass(frozen=True)
class PrintBlock:
    """Entries of one section in one column; `heading` empty where the section began in the column before."""

    heading: str
    items: tuple[PrintItem, ...]


Columns = tuple[tuple[PrintBlock, ...], ...]


def in_columns(items: Sequence[Item], count: int, height: Callable[[Item], int]) -> tuple[tuple[Item, ...], ...]:
    """The items in order, cut so that the tallest of `count` columns is as low as can be; fewer for fewer items."""
    count = min(count, len(items))
    if count < 2:
        return (tuple(items),) if items else ()
    heights = [height(item) for item in items]

    def tallest(cuts: tuple[int, ...]) -> int:
        return max(sum(heights[first:last]) for first, last in pairwise((0, *cuts, len(items))))

    best = min(combinations(range(1, len(items)), count - 1), key=tallest)
    return tuple(tuple(items[first:last]) for first, last in pairwise((0, *best, len(items))))


def print_columns(sections: Sequence[tuple[str, Sequence[PrintItem]]], count: int, line: int) -> Columns:
    """Sections one after the other over columns of `line` characters a line; each heading stands once."""
    entries = [(heading, item) for heading, items in sections for item in items]
    firsts = {heading: items[0] for heading, items in sections if items}

    def lines(entry: tuple[str, PrintItem]) -> int:
        heading, item = entry
        text = -(-(len(item.title) + len(item.text)) // line)
        return 2 * text + 1 + (4 if firsts[heading] is item else 0)  # in half lines: the gap, and a heading of two

    columns = in_columns(entries, count, lines)
    return tuple(
        tuple(
            PrintBlock(heading if items[0] is firsts[heading] else "", items)
            for heading, items in (
                (heading, tuple(item for _, item in group))
                for heading, group in groupby(column, lambda entry: entry[0])
            )
        )
        for column in columns
    )
