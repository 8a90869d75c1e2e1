"""Timelines as bytes, to keep in a database and read back in another process. No code is ever read from them."""

from __future__ import annotations

import json
import zlib
from dataclasses import asdict, fields
from datetime import date
from io import BytesIO
from typing import Any

import numpy as np

from quoting.errors import QuotingError
from quoting.promise.odds.arrays import SHORT_NEVER, Ground, Ints, Packed, Shorts
from quoting.promise.odds.arrivals import Deliveries
from quoting.promise.odds.dice import Dice
from quoting.promise.odds.ground import Names
from quoting.promise.odds.timelines import Timelines

FORMAT = 1
FAST = 1  # zlib level: larger by a tenth, four times as fast


class KeptError(QuotingError):
    """Bytes that are not timelines of this version; draw them anew."""


def to_bytes(timelines: Timelines) -> bytes:
    """Timelines as bytes."""
    names, deliveries = timelines.names, timelines.deliveries
    head = {
        "format": FORMAT,
        "revision": timelines.revision,
        "dice": asdict(timelines.dice),
        "loops": timelines.loops,
        "first": timelines.first.isoformat(),
        "now": timelines.now,
        "people": names.people,
        "benches": names.benches,
        "skills": dict(names.skills),
        "kinds": dict(names.kinds),
        "rows": list(deliveries.rows),
        "last": list(deliveries.last),
    }
    arrays: dict[str, Any] = {f"ground_{name}": each for name, each in timelines.ground._asdict().items()}
    arrays |= {f"lanes_{name}": _narrow(each) for name, each in timelines.lanes._asdict().items()}
    arrays["rows"] = _stacked(list(deliveries.rows.values()), timelines.samples)
    arrays["last"] = _stacked(list(deliveries.last.values()), timelines.samples)
    buffer = BytesIO()
    np.savez(buffer, allow_pickle=False, head=np.frombuffer(json.dumps(head).encode(), np.uint8), **arrays)
    return zlib.compress(buffer.getvalue(), FAST)


def from_bytes(kept: bytes) -> Timelines:
    """The timelines again. Raises: KeptError for bytes of another version or damaged ones."""
    try:
        stored = np.load(BytesIO(zlib.decompress(kept)), allow_pickle=False)
        head: dict[str, Any] = json.loads(stored["head"].tobytes())
        if head["format"] != FORMAT:
            raise KeptError(f"timelines: format {head['format']} is not {FORMAT}. Draw them anew.")
        rows, last = stored["rows"].astype(np.int64), stored["last"].astype(np.int64)
        return Timelines(
            revision=head["revision"],
            dice=Dice(**{each.name: head["dice"][each.name] for each in fields(Dice)}),
            loops=head["loops"],
            first=date.fromisoformat(head["first"]),
            now=head["now"],
            ground=Ground(*(stored[f"ground_{name}"] for name in Ground._fields)),
            names=Names(tuple(head["people"]), tuple(head["benches"]), head["skills"], head["kinds"]),
            lanes=Packed(
                _minutes(stored["lanes_start"]),
                _minutes(stored["lanes_end"]),
                stored["lanes_low"].astype(np.int64),
                stored["lanes_high"].astype(np.int64),
            ),
            deliveries=Deliveries(
                dict(zip(head["rows"], rows, strict=True)), dict(zip(head["last"], last, strict=True))
            ),
        )
    except KeptError:
        raise
    except (ValueError, KeyError, TypeError, OSError, zlib.error) as error:
        raise KeptError(f"timelines: cannot be read ({error}). Draw them anew.") from error


def _narrow(values: Ints | Shorts) -> Any:
    """A minute past every plan is kept as -1."""
    return np.where(values >= SHORT_NEVER, -1, values).astype(np.int32)


def _minutes(values: Any) -> Shorts:
    return np.where(values < 0, np.int32(SHORT_NEVER), values)


def _stacked(rows: list[Ints], samples: int) -> Any:
    return np.stack(rows).astype(np.int32) if rows else np.zeros((0, samples), np.int32)
