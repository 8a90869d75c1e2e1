"""Find builds: from wishes, a donor and a catalogue to every set of parts that raises no stop, cheapest first.

from quoting.finder import FinderRequest, find_sets
answer = find_sets(question)
"""

from __future__ import annotations

from quoting.finder.answer import BuildSet, Counts, FinderResult, Relaxation
from quoting.finder.question import Break, Choice, FinderRequest, Slot, Store
from quoting.finder.search import find_sets
from quoting.finder.wished import Miss, wished, wishes_made

__all__ = [
    "Break",
    "BuildSet",
    "Choice",
    "Counts",
    "FinderRequest",
    "FinderResult",
    "Miss",
    "Relaxation",
    "Slot",
    "Store",
    "find_sets",
    "wished",
    "wishes_made",
]
