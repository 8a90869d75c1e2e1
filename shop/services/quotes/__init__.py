"""Quotes at the counter: started, built up, offered, revised."""

from __future__ import annotations

from shop.services.quotes.decisions import decision_withdraw, decision_write
from shop.services.quotes.fill import SetPart, option_fill
from shop.services.quotes.offer import version_offer
from shop.services.quotes.options import (
    option_add,
    option_change,
    option_copy,
    option_remove,
    option_set_allowance,
    option_set_discount,
    pack_plan_set,
)
from shop.services.quotes.parts import part_add, part_change, part_exchange, part_remove
from shop.services.quotes.start import (
    quote_set_customer,
    quote_set_donor,
    quote_set_job,
    quote_set_note,
    quote_set_tax_place,
    quote_set_wishes,
    quote_start,
)
from shop.services.quotes.steps import extra_add, extra_change, extra_remove, step_add, step_change, step_remove
from shop.services.quotes.versions import version_decline, version_revise, versions_lapse

__all__ = [
    "SetPart",
    "decision_withdraw",
    "decision_write",
    "extra_add",
    "extra_change",
    "extra_remove",
    "option_add",
    "option_change",
    "option_copy",
    "option_fill",
    "option_remove",
    "option_set_allowance",
    "option_set_discount",
    "pack_plan_set",
    "part_add",
    "part_change",
    "part_exchange",
    "part_remove",
    "quote_set_customer",
    "quote_set_donor",
    "quote_set_job",
    "quote_set_note",
    "quote_set_tax_place",
    "quote_set_wishes",
    "quote_start",
    "step_add",
    "step_change",
    "step_remove",
    "version_decline",
    "version_offer",
    "version_revise",
    "versions_lapse",
]
