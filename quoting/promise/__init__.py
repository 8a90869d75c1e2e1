"""When will it be done: parts pegged in the order of the line, steps laid into the gaps, the finish and its reasons.

`work_out_promise` answers at the counter; `prepare` and `insert` are its two halves, for several options behind one
line; `plan_line` plans what is in line for the Line, Waiting, Stores and bench screens.
"""

from __future__ import annotations

from quoting.promise.answer import insert, standing, work_out_promise
from quoting.promise.calendar import Calendar
from quoting.promise.changed import changed_build
from quoting.promise.line import line_of, moves_between, plan_line, with_receipt_dates
from quoting.promise.plan import PlannedShop, prepare, prepare_shop
from quoting.promise.spans import arrival_day, closed_ordinals, latest_order_day
from quoting.promise.work import wanting_step

__all__ = [
    "Calendar",
    "PlannedShop",
    "arrival_day",
    "changed_build",
    "closed_ordinals",
    "insert",
    "latest_order_day",
    "line_of",
    "moves_between",
    "plan_line",
    "prepare",
    "prepare_shop",
    "standing",
    "wanting_step",
    "with_receipt_dates",
    "work_out_promise",
]
