"""What somebody has said is done before what, against the order of the line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from quoting.request import OpenBuild, Turn

Spot = tuple[str, int]  # a build's number and the index of its step


def laying_order(builds: Sequence[OpenBuild], turns: Iterable[Turn]) -> list[tuple[OpenBuild, int]]:
    """Which build is laid next and up to which of its steps [count], until each is laid whole.

    Builds in the order given. A step that has its turn before another is laid just before that one, with the steps of
    its own build that lead to it; the rest of its build waits for its place. A ring of turns is cut where it closes.
    Turns that name a step which is done or started count for nothing.
    """
    return _Laying(builds, turns).pieces


class _Laying:
    def __init__(self, builds: Sequence[OpenBuild], turns: Iterable[Turn]) -> None:
        self.builds = {build.number: build for build in builds}
        self.firsts = self._firsts(turns)
        self.upto: dict[str, int] = {}
        self.pieces: list[tuple[OpenBuild, int]] = []
        for build in builds:
            self._lay(build, len(build.steps), frozenset())

    def _firsts(self, turns: Iterable[Turn]) -> dict[Spot, list[Spot]]:
        """What has its turn before each step."""
        waiting = {
            (build.number, step.code): index
            for build in self.builds.values()
            for index, step in enumerate(build.steps)
            if step.started is None
        }
        found: dict[Spot, list[Spot]] = {}
        for turn in turns:
            first, then = waiting.get((turn.build, turn.step)), waiting.get((turn.then_build, turn.then_step))
            if first is not None and then is not None and turn.build != turn.then_build:
                found.setdefault((turn.then_build, then), []).append((turn.build, first))
        return found

    def _lay(self, build: OpenBuild, upto: int, within: frozenset[str]) -> None:
        """`within` the builds that wait for this one to be laid."""
        for index in range(self.upto.get(build.number, 0), upto):
            for number, step in self.firsts.get((build.number, index), ()):
                if number not in within and self.upto.get(number, 0) <= step:
                    if index:
                        self._emit(build, index)
                    self._lay(self.builds[number], step + 1, within | {build.number})
        self._emit(build, upto)

    def _emit(self, build: OpenBuild, upto: int) -> None:
        if upto > self.upto.get(build.number, -1):
            self.upto[build.number] = upto
            self.pieces.append((build, upto))
