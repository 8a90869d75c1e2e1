"""Filters of the pages about engineering."""

from __future__ import annotations

from collections.abc import Mapping

from django import template

from quoting.guide import FieldGuide

register = template.Library()


@register.filter
def words_of(titles: Mapping[str, str], rule: str) -> str:
    """A rule's title by its id."""
    return titles[rule]


@register.filter
def rules_count(field: FieldGuide) -> int:
    """How many rules look at a field."""
    return len(field.needed_by) + len(field.looked_at_by)
