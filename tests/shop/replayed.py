"""Rows that many tests begin with: made by the services once in a process, and put back as they were from then on.

On SQLite only, and only where the tables hold what they held when the rows were made: keys come out the same there.
On PostgreSQL, whose keys go on counting, they are made each time.
"""

from __future__ import annotations

import pickle
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from functools import cache
from typing import TypeVar

from django.apps import apps
from django.contrib.auth.models import User
from django.db import connection, transaction
from django.db.models import Model
from django.utils import timezone

Made = TypeVar("Made")
Rows = dict[str, dict[str, str]]  # by table, then by key: the row as SQL writes it
KEYS_ALONE: tuple[type[Model], ...] = (User,)  # a password is salted anew each time


@dataclass(frozen=True)
class Kept:
    """What was in the tables before, the statements that bring what came, and what was given back."""

    before: Rows
    inserts: list[str]
    value: bytes


kept: dict[Hashable, Kept] = {}


def replayed(key: Hashable, make: Callable[[], Made]) -> Made:
    """What `make` gives, its rows in the tables; `key` names it, with all it was given that is not in the tables."""
    if connection.vendor != "sqlite":
        return make()
    before = _rows()
    found = kept.get(key)
    if found is not None and found.before == before:
        with transaction.atomic(), connection.cursor() as cursor:  # keys of others are looked at when all are there
            for insert in found.inserts:
                cursor.execute(insert)
        value: Made = pickle.loads(found.value)  # noqa: S301 - written three lines below
        return value
    value = make()
    kept[key] = Kept(before, _inserts(before, _rows()), pickle.dumps(value))
    return value


def replayed_while_clock_stands(key: Hashable, make: Callable[[], Made]) -> Made:
    """The same for rows that note when they came: put back only at the very moment they were made."""
    now = timezone.now()
    return replayed((key, now), make) if now == timezone.now() else make()


def _rows() -> Rows:
    with connection.cursor() as cursor:
        rows = {}
        for table, select in _selects():
            cursor.execute(select)
            rows[table] = dict(cursor.fetchall())
        return rows


@cache
def _selects() -> list[tuple[str, str]]:
    selects = []
    for model in (*apps.get_app_config("shop").get_models(include_auto_created=True), *KEYS_ALONE):
        fields = [model._meta.pk] if model in KEYS_ALONE else model._meta.local_concrete_fields
        row = " || ',' || ".join(f'quote("{field.column}")' for field in fields)
        table, pk = model._meta.db_table, model._meta.pk.column
        selects.append((table, f'SELECT quote("{pk}"), {row} FROM "{table}" ORDER BY "{pk}"'))  # noqa: S608 - ours
    return selects


def _inserts(before: Rows, after: Rows) -> list[str]:
    """One statement for each table with rows that came or changed."""
    inserts = []
    for model in apps.get_app_config("shop").get_models(include_auto_created=True):
        table = model._meta.db_table
        assert before[table].keys() <= after[table].keys(), f"rows of {table} were deleted; they cannot be put back"
        new = [f"({row})" for key, row in after[table].items() if before[table].get(key) != row]
        if new:
            columns = ", ".join(f'"{field.column}"' for field in model._meta.local_concrete_fields)
            inserts.append(f'INSERT OR REPLACE INTO "{table}" ({columns}) VALUES {", ".join(new)}')  # noqa: S608 - ours
    assert all(before[model._meta.db_table] == after[model._meta.db_table] for model in KEYS_ALONE)
    return inserts
