"""Triggers on postings: what the cash book may never come to, whatever writes it. Installed with the others.

They look at sums after each row. So an entry that moves both ways posts what raises a balance first.
"""

from __future__ import annotations

TABLE = "shop_posting"
LATER = "later entries stand; write an entry of its own"
BELOW = "a build's deposits would go below zero"
OTHERS = "a posting is of its entry's build and day"
OVERPAID = "an invoice's balance would go below zero"
AHEAD = "tax charged ahead of a build would go below zero, or above its deposits"

_ENTRY = "(SELECT {column} FROM shop_ledgerentry WHERE id = NEW.entry_id)"
_OF_BUILD = _ENTRY.format(column="build_id")
_DAY = _ENTRY.format(column="day")
_NUMBER = _ENTRY.format(column="number")
_INVOICE = _ENTRY.format(column="CASE WHEN kind IN ('invoice', 'storage') THEN id ELSE concerns_id END")
_LATER = f"EXISTS (SELECT 1 FROM shop_ledgerentry WHERE number > {_NUMBER})"  # noqa: S608 - our own words

_SUM = (
    "(SELECT COALESCE(SUM(CASE WHEN p.{raises} = '{account}' THEN p.amount ELSE -p.amount END), 0) "
    "FROM shop_posting p JOIN shop_ledgerentry e ON e.id = p.entry_id "
    "WHERE '{account}' IN (p.debit, p.credit) AND {which})"
)
_HELD = _SUM.format(raises="credit", account="deposits", which=f"e.build_id = {_OF_BUILD}")
_AHEAD = _SUM.format(raises="debit", account="tax_ahead", which=f"e.build_id = {_OF_BUILD}")
_OWED = _SUM.format(raises="debit", account="receivable", which=f"{_INVOICE} IN (e.id, e.concerns_id)")

# name: when it looks, and what it says.
GUARDS = {
    "shop_posting_later_refused": (_LATER, LATER),
    "shop_posting_others_refused": (
        f"NEW.day <> {_DAY} OR COALESCE(NEW.build_id, 0) <> COALESCE({_OF_BUILD}, 0)",
        OTHERS,
    ),
    "shop_posting_below_refused": (
        f"'deposits' IN (NEW.debit, NEW.credit) AND ({_OF_BUILD} IS NULL OR {_HELD} < 0)",
        BELOW,
    ),
    "shop_posting_overpaid_refused": (
        f"'receivable' IN (NEW.debit, NEW.credit) AND ({_INVOICE} IS NULL OR {_OWED} < 0)",
        OVERPAID,
    ),
    "shop_posting_ahead_refused": (
        f"('tax_ahead' IN (NEW.debit, NEW.credit) AND ({_OF_BUILD} IS NULL OR {_AHEAD} < 0)) "
        f"OR (NEW.debit = 'tax_ahead' AND {_AHEAD} > {_HELD})",
        AHEAD,
    ),
}


def sqlite_guards() -> list[str]:
    """Statements that make the triggers on SQLite."""
    return [
        f"CREATE TRIGGER {name} AFTER INSERT ON {TABLE} WHEN {when} BEGIN SELECT RAISE(ABORT, '{_quoted(said)}'); END"
        for name, (when, said) in GUARDS.items()
    ]


def postgresql_guards() -> list[str]:
    """The same on PostgreSQL, where a condition with a query stands in a function."""
    made = []
    for name, (when, said) in GUARDS.items():
        made.append(
            f"CREATE OR REPLACE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN IF {when} THEN "
            f"RAISE EXCEPTION '{_quoted(said)}' USING ERRCODE = 'integrity_constraint_violation'; "
            "END IF; RETURN NEW; END $$"
        )
        made.append(f"CREATE TRIGGER {name} AFTER INSERT ON {TABLE} FOR EACH ROW EXECUTE FUNCTION {name}()")
    return made


def _quoted(text: str) -> str:
    """A text inside SQL's single quotes."""
    return text.replace("'", "''")
