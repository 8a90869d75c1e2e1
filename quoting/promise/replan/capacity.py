"""How much work a group of benches or people can have done by a slot, with leave, downtime and work under way off."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from quoting.promise.replan.problem import Span, merged


@dataclass(frozen=True, slots=True)
class Capacity:
    """A step function: `size[i]` lanes from slot `at[i]` on, `done[i]` work done by then [slots]."""

    at: tuple[int, ...]
    size: tuple[int, ...]
    done: tuple[int, ...]

    @classmethod
    def of(cls, now: int, size: int, taken: Iterable[tuple[int, int, int]]) -> Capacity:
        """`size` lanes from `now` on, less the units of each (start, end, units) that is `taken`."""
        change: dict[int, int] = {now: size}
        for start, end, units in taken:
            if end > now:
                change[max(start, now)] = change.get(max(start, now), 0) - units
                change[end] = change.get(end, 0) + units
        at, sizes, done, level = sorted(change), [], [0], 0
        for one, slot in enumerate(at):
            level += change[slot]
            sizes.append(max(level, 0))
            if one + 1 < len(at):
                done.append(done[-1] + sizes[-1] * (at[one + 1] - slot))
        return cls(tuple(at), tuple(sizes), tuple(done))

    @classmethod
    def of_lanes(
        cls, now: int, lanes: Iterable[int], held: Sequence[Sequence[Span]], away: Sequence[Sequence[Span]]
    ) -> Capacity:
        """Some people or benches by number, each without what holds it and when it is away or down."""
        chosen = list(lanes)
        taken = [(*span, 1) for lane in chosen for span in merged((*held[lane], *away[lane]))]
        return cls.of(now, len(chosen), taken)

    def done_by(self, slot: int) -> int:
        """Work that can be done by a slot [slots]."""
        one = max(bisect_right(self.at, slot) - 1, 0)
        return self.done[one] + self.size[one] * max(slot - self.at[one], 0)

    def reaches(self, work: float) -> float:
        """The earliest slot by which so much work can be done."""
        one = max(bisect_left(self.done, work) - 1, 0)
        if not self.size[one]:
            return float(self.at[one])
        return self.at[one] + (work - self.done[one]) / self.size[one]
