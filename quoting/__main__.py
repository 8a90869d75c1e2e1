"""python -m quoting REQUEST.json: the result as JSON on standard output. Bad input: one clear line, exit 2."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import NoReturn

from quoting.codec import from_json, json_schema, to_json
from quoting.engine import quote
from quoting.errors import QuotingError
from quoting.example import example_request
from quoting.request import QuoteRequest
from quoting.result import QuoteResult


def main(arguments: list[str] | None = None) -> int:
    """Run the command; returns the exit code."""
    parser = argparse.ArgumentParser(prog="python -m quoting", description="Work out a quote request.")
    parser.add_argument("request", nargs="?", metavar="REQUEST.json", help="the request; - reads standard input")
    parser.add_argument("--schema", action="store_true", help="print the JSON Schema of request and result")
    parser.add_argument("--example", action="store_true", help="print a complete request that works")
    chosen = parser.parse_args(arguments)
    if chosen.schema:
        _print(json_schema(QuoteRequest, QuoteResult))
    elif chosen.example:
        _print(to_json(example_request()))
    elif chosen.request:
        _print(to_json(quote(_read(chosen.request))))
    else:
        _refuse("Name a request file, or use --example or --schema.")
    return 0


def _read(name: str) -> QuoteRequest:
    try:
        text = sys.stdin.read() if name == "-" else Path(name).read_text(encoding="utf-8")
        return from_json(QuoteRequest, json.loads(text))
    except OSError as error:
        _refuse(f"{name}: {error.strerror}. Check the path.")
    except UnicodeDecodeError:
        _refuse(f"{name}: not UTF-8 text. Save it as UTF-8.")
    except json.JSONDecodeError as error:
        _refuse(f"{name}: not JSON at line {error.lineno}, column {error.colno}: {error.msg}.")


def _print(value: object) -> None:
    sys.stdout.write(json.dumps(value, indent=2, ensure_ascii=False) + "\n")


def _refuse(message: str) -> NoReturn:
    sys.stderr.write(f"quoting: {message}\n")
    raise SystemExit(2)


def guarded(arguments: list[str] | None = None) -> int:
    """`main`, with the engine's own errors as one line and exit 2."""
    try:
        return main(arguments)
    except QuotingError as error:
        _refuse(str(error))


if __name__ == "__main__":
    sys.exit(guarded())
