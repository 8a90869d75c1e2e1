"""The rules as a table, for the people who keep them."""

from __future__ import annotations

from quoting.rules.registry import all_rules


def findings_table() -> str:
    """Every rule as a row of a Markdown table: id, subject, levels, what it holds, source."""
    head = "| finding | subject | levels | what it holds | source |\n| --- | --- | --- | --- | --- |\n"
    rows = (
        f"| `{rule.id}` | {rule.subject} | {', '.join(rule.levels)} | {_cell(rule.what)} | {_cell(rule.source)} |\n"
        for rule in all_rules()
    )
    return head + "".join(rows)


def _cell(text: str) -> str:
    return text.replace("|", "\\|")
