"""A list set in two columns of about the same height."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

Item = TypeVar("Item")


def in_two(items: Sequence[Item], length: Callable[[Item], int]) -> tuple[tuple[Item, ...], ...]:
    """The items in order, cut where the halves' lengths differ least; one column for a single item, none for none."""
    if len(items) < 2:
        return (tuple(items),) if items else ()
    lengths = [length(item) for item in items]
    cut = min(range(1, len(items)), key=lambda at: abs(sum(lengths[:at]) - sum(lengths[at:])))
    return tuple(items[:cut]), tuple(items[cut:])
