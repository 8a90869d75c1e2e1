"""One person on one bench: the earliest and the latest place for some work, against trying every slot."""

from hypothesis import given
from hypothesis import strategies as st

from quoting.promise.lanes import Booking, Lane, earliest, latest, worked_through
from quoting.promise.spans import Spans

END = 60  # slots looked at
spans = st.lists(st.tuples(st.integers(0, 30), st.integers(1, 8)), max_size=4).map(
    lambda pairs: Spans((start, start + length) for start, length in pairs)
)


def points(taken: Spans) -> set[int]:
    return {point for start, end in taken for point in range(start, end)}


def fits(away: Spans, person: Spans, bench: Spans, start: int, slots: int) -> int | None:
    """The end of work begun in `start`, slot by slot; None when it cannot begin there or is run into."""
    if start in points(away):
        return None
    done, at = 0, start
    while done < slots:
        if at in points(person) or at in points(bench):
            return None
        done += at not in points(away)
        at += 1
    return at


@given(spans, spans, spans, st.integers(0, 30), st.integers(1, 6))
def test_the_earliest_place_is_the_first_that_fits(away: Spans, person: Spans, bench: Spans, ready: int, slots: int):
    worker, place = Lane("Ana"), Lane("Lift")
    worker.away, worker.taken, place.taken = away, person, bench
    tried = ((start, fits(away, person, bench, start, slots)) for start in range(ready, END))
    assert earliest(worker, place, ready, slots) == next((start, end) for start, end in tried if end is not None)
    alone = ((start, fits(away, person, Spans(), start, slots)) for start in range(ready, END))
    assert earliest(worker, None, ready, slots) == next((start, end) for start, end in alone if end is not None)


@given(spans, spans, spans, st.integers(0, 45), st.integers(1, 6), st.integers(0, 12))
def test_the_latest_place_is_the_last_that_ends_in_time(away, person, bench, deadline: int, slots: int, floor: int):
    tried = [(start, fits(away, person, bench, start, slots)) for start in range(floor, END)]
    in_time = [start for start, end in tried if end is not None and end <= deadline]
    assert latest(away, person, bench, deadline, slots, floor) == max(in_time, default=None)


@given(spans, st.integers(0, 30), st.integers(1, 6))
def test_work_under_way_goes_on_in_every_slot_that_is_not_blocked(blocked: Spans, start: int, slots: int):
    free = [point for point in range(start, END) if point not in points(blocked)]
    assert worked_through(blocked, start, slots) == free[slots - 1] + 1


def test_an_end_that_is_too_late_is_not_offered():
    worker = Lane("Ana")
    assert earliest(worker, None, 4, 3, before=8) == (4, 7)
    assert earliest(worker, None, 4, 3, before=7) is None


def test_a_lane_without_one_build_keeps_its_downtime_and_the_others():
    lane = Lane("Lift")
    lane.down = Spans([(20, 24)])
    lane.taken = Spans(lane.down)
    for booking in (Booking(0, 4, "B1", 0), Booking(4, 9, "B2", 0), Booking(9, 12, "B1", 1)):
        lane.book(booking)
    assert list(lane.taken) == [(0, 12), (20, 24)]
    assert list(lane.without("B1")) == [(4, 9), (20, 24)]
    assert lane.without("B3") is lane.taken
    assert lane.holder(0, 9) == Booking(4, 9, "B2", 0)
    assert lane.holder(12, 30) is None
