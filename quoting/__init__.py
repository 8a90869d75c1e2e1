"""The quote engine: a frozen request in, a result that explains itself out. Knows nothing of Django.

from quoting import QuoteRequest, from_json, quote
result = quote(from_json(QuoteRequest, data))
"""

from __future__ import annotations

from quoting.codec import from_json, json_schema, to_json
from quoting.engine import fingerprint, quote
from quoting.errors import CalendarError, FieldProblem, QuotingError, RequestError, SpecError, UnitError
from quoting.request import QuoteRequest
from quoting.result import OptionResult, QuoteResult

__all__ = [
    "CalendarError",
    "FieldProblem",
    "OptionResult",
    "QuoteRequest",
    "QuoteResult",
    "QuotingError",
    "RequestError",
    "SpecError",
    "UnitError",
    "fingerprint",
    "from_json",
    "json_schema",
    "quote",
    "to_json",
]
