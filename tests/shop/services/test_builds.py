from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, timedelta
from decimal import Decimal

import pytest
from django.contrib.auth.models import User
from django.db.models import Sum
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from shop.models import Build, Event, PartNeed, Shop
from shop.selectors.line import move_preview
from shop.selectors.plan import line_plan
from shop.services.builds import build_hold, build_move, build_promise_change, build_release
from shop.services.errors import Refused
from shop.services.stock_count import stock_receive
from shop.services.stock_issue import stock_issue
from tests.shop import made_shop
from tests.shop.made_builds import make_build, make_need
from tests.shop.made_offers import DAY, make_part

FROM, TO = date(2026, 5, 4), date(2026, 5, 20)


@pytest.fixture
def owner(person: Callable[[str], User]) -> User:
    return person("owner")


@pytest.fixture
def line(shop: Shop, morning: datetime) -> list[Build]:
    """Five builds, B-1001 to B-1005."""
    return [make_build(place, steps=True, promised_from=FROM, promised_to=TO) for place in range(1, 6)]


def order() -> list[str]:
    return list(Build.objects.exclude(place=None).order_by("place").values_list("number", flat=True))


def kept(need: PartNeed) -> Decimal:
    return need.moves.aggregate(kept=Sum("reserved"))["kept"] or Decimal(0)


def test_a_build_moves_ahead_and_the_others_close_up(line: list[Build], owner: User) -> None:
    moved = build_move(build=line[3], place=2, reason="race in June", person=owner)
    assert order() == ["B-1001", "B-1004", "B-1002", "B-1003", "B-1005"]
    assert {build.number for build in moved} == {"B-1004", "B-1002", "B-1003"}
    events = Event.objects.filter(verb="moved in line").order_by("subject")
    assert [(each.subject, each.before, each.after, each.reason, each.person) for each in events] == [
        ("B-1002", "place 2", "place 3", "race in June", owner),
        ("B-1003", "place 3", "place 4", "race in June", owner),
        ("B-1004", "place 4", "place 2", "race in June", owner),
    ]


def test_a_build_moves_back(line: list[Build], owner: User) -> None:
    build_move(build=line[0], place=5, reason="customer travels", person=owner)
    assert order() == ["B-1002", "B-1003", "B-1004", "B-1005", "B-1001"]


@pytest.mark.parametrize("place", [0, 6, -1])
def test_a_place_outside_the_line(line: list[Build], owner: User, place: int) -> None:
    with pytest.raises(Refused) as caught:
        build_move(build=line[0], place=place, reason="x", person=owner)
    assert (caught.value.message, caught.value.field) == ("The line has places 1 to 5. Choose one of them.", "place")
    assert order()[0] == "B-1001"


def test_a_move_needs_a_reason_another_place_and_an_open_build(line: list[Build], owner: User) -> None:
    with pytest.raises(Refused) as caught:
        build_move(build=line[0], place=2, reason=" ", person=owner)
    assert caught.value.field == "reason"
    with pytest.raises(Refused, match="has place 1 already"):
        build_move(build=line[0], place=1, reason="x", person=owner)
    Build.objects.filter(pk=line[4].pk).update(state="cancelled", place=None)
    with pytest.raises(Refused, match="B-1005 is cancelled and has no place"):
        build_move(build=line[4], place=1, reason="x", person=owner)
    assert not Event.objects.exists()


def test_promises_stay_when_a_build_moves(line: list[Build], owner: User) -> None:
    build_move(build=line[4], place=1, reason="x", person=owner)
    assert set(Build.objects.values_list("promised_from", "promised_to")) == {(FROM, TO)}


def test_parts_on_the_shelf_follow_the_line_and_those_on_the_bench_stay(line: list[Build], owner: User) -> None:
    motor, fuse = make_part("MOT-1"), make_part("FUS-1")
    motors = [make_need(build, motor, 1, "wiring") for build in line[:2]]
    fuses = [make_need(build, fuse, 2, "wiring") for build in line[:2]]
    stock_receive(component=motor, quantity=Decimal(1), person=owner)
    stock_receive(component=fuse, quantity=Decimal(3), person=owner)
    stock_issue(need=fuses[0], quantity=Decimal(1), person=owner)
    assert [kept(need) for need in (*motors, *fuses)] == [1, 0, 1, 1]
    build_move(build=line[1], place=1, reason="x", person=owner)
    # One motor: now for B-1002. Three fuses, one issued to B-1001 for good: B-1002 keeps both that are left.
    assert [kept(need) for need in (*motors, *fuses)] == [0, 1, 0, 2]


def test_the_preview_says_what_the_plan_says_after_the_move(line: list[Build], owner: User) -> None:
    motor = make_part("MOT-1")
    for build in line:
        make_need(build, motor, 1, "wiring")
    stock_receive(component=motor, quantity=Decimal(2), person=owner)
    before = {build.number: build for build in line_plan().builds}
    shown = {change.build.number: change for change in move_preview(build=line[3], place=1)}
    assert order() == [f"B-100{n}" for n in range(1, 6)]  # a look changes nothing
    build_move(build=line[3], place=1, reason="x", person=owner)
    after = {build.number: build for build in line_plan().builds}
    seen = [(number, plan.place, plan.finish_from, plan.finish_to) for number, plan in before.items()]
    then = {(number, plan.place, plan.finish_from, plan.finish_to) for number, plan in after.items()}
    assert list(shown) == [row[0] for row in seen if row not in then]
    assert {"B-1001", "B-1004"} < shown.keys()
    for number, change in shown.items():
        old, new = before[number], after[number]
        assert (change.place_before, change.place_after) == (old.place, new.place)
        assert (change.from_before, change.to_before) == (old.finish_from, old.finish_to)
        assert (change.from_after, change.to_after, change.late_days) == (new.finish_from, new.finish_to, new.late_days)
    assert shown["B-1004"].days_later is not None
    assert shown["B-1004"].days_later < 0 < (shown["B-1001"].days_later or 0)


def test_the_preview_marks_promises_it_would_break_and_mend(line: list[Build], owner: User) -> None:
    plan = {build.number: build for build in line_plan().builds}
    first, last = plan["B-1001"], plan["B-1005"]
    Build.objects.filter(number="B-1001").update(promised_from=first.finish_from, promised_to=first.finish_to)
    Build.objects.filter(number="B-1005").update(promised_from=first.finish_from, promised_to=first.finish_to)
    assert last.finish_to is not None
    assert first.finish_to is not None
    assert last.finish_to > first.finish_to
    shown = {change.build.number: change for change in move_preview(build=line[4], place=1)}
    assert (shown["B-1001"].breaks, shown["B-1001"].mends) == (True, False)
    assert (shown["B-1005"].breaks, shown["B-1005"].mends) == (False, True)


def test_a_held_build_leaves_the_plan_and_keeps_place_and_parts(line: list[Build], owner: User) -> None:
    motor = make_part("MOT-1")
    need = make_need(line[0], motor, 1)
    stock_receive(component=motor, quantity=Decimal(1), person=owner)
    build_hold(build=line[0], reason=" title is missing ", person=owner)
    held = line_plan().build("B-1001")
    assert held is not None
    assert (held.on_hold, held.finish_to, held.place) == (True, None, 1)
    assert kept(need) == 1
    with pytest.raises(Refused, match="on hold already: title is missing"):
        build_hold(build=line[0], reason="x", person=owner)
    build_release(build=line[0], person=owner, note="title came")
    build_release(build=line[0], person=owner)  # again: nothing
    released = line_plan().build("B-1001")
    assert released is not None
    assert released.finish_to is not None
    events = Event.objects.filter(verb__in=["put on hold", "released"]).order_by("pk")
    assert [(each.verb, each.before, each.reason) for each in events] == [
        ("put on hold", "", "title is missing"),
        ("released", "title is missing", "title came"),
    ]


def test_a_hold_needs_a_reason_and_no_step_under_way(line: list[Build], owner: User, morning: datetime) -> None:
    with pytest.raises(Refused) as caught:
        build_hold(build=line[0], reason="", person=owner)
    assert caught.value.field == "reason"
    line[0].steps.filter(code="teardown").update(state="doing", started_at=morning)
    with pytest.raises(Refused, match="Take the engine out is under way"):
        build_hold(build=line[0], reason="x", person=owner)


def test_another_promise_keeps_the_old_one_in_its_history(line: list[Build], owner: User) -> None:
    entry = build_promise_change(
        build=line[0], finish_from=FROM, finish_to=TO + timedelta(days=7), reason="motor late", person=owner
    )
    assert (entry.kind, entry.finish_to, entry.reason) == ("changed", TO + timedelta(days=7), "motor late")
    line[0].refresh_from_db()
    assert (line[0].promised_from, line[0].promised_to) == (FROM, TO + timedelta(days=7))
    event = Event.objects.get(verb="promise changed")
    assert (event.before, event.after) == ("2026-05-04 to 2026-05-20", "2026-05-04 to 2026-05-27")


@pytest.mark.parametrize(
    ("first", "last", "reason", "field"),
    [
        (FROM, TO, "x", "finish_to"),  # as it is
        (TO, FROM, "x", "finish_to"),  # backward
        (DAY - timedelta(days=2), DAY - timedelta(days=1), "x", "finish_to"),  # gone
        (FROM, TO + timedelta(days=1), " ", "reason"),
    ],
)
def test_what_is_no_promise(line: list[Build], owner: User, first: date, last: date, reason: str, field: str) -> None:
    with pytest.raises(Refused) as caught:
        build_promise_change(build=line[0], finish_from=first, finish_to=last, reason=reason, person=owner)
    assert caught.value.field == field
    assert not line[0].promises.exists()


def test_a_window_may_end_today(line: list[Build], owner: User) -> None:
    build_promise_change(build=line[0], finish_from=DAY, finish_to=DAY, reason="early", person=owner)
    assert line[0].promises.get().finish_to == DAY


class AnyMoves(TestCase):
    """Whatever is moved where, the line stays 1 to n, and only what lies between the two places moves."""

    @settings(max_examples=30)
    @given(st.lists(st.tuples(st.integers(0, 5), st.integers(1, 6)), min_size=1, max_size=6))
    def test_places_stay_whole(self, moves: list[tuple[int, int]]) -> None:
        made_shop.make_whole_shop()
        builds = [make_build(place) for place in range(1, 7)]
        expected = [build.number for build in builds]
        for index, place in moves:
            number = builds[index].number
            if expected[place - 1] == number:
                continue
            build_move(build=builds[index], place=place, reason="x", person=None)
            expected.remove(number)
            expected.insert(place - 1, number)
            assert list(Build.objects.order_by("place").values_list("number", "place")) == [
                (each, at) for at, each in enumerate(expected, start=1)
            ]


def test_two_who_move_at_once_leave_a_whole_line(threads, morning: datetime) -> None:
    made_shop.make_whole_shop()
    builds = [make_build(place) for place in range(1, 7)]
    at_once = threads()
    answers = at_once.run(
        [
            lambda build=build, place=place: build_move(build=build, place=place, reason="x", person=None)
            for build, place in zip(builds, (6, 5, 4, 3, 2, 1), strict=True)
        ]
    )
    assert all(isinstance(answer, list | Refused) for answer in answers)  # Refused: is there already by then
    places = at_once.look(lambda: list(Build.objects.order_by("place").values_list("place", flat=True)))
    assert places == [1, 2, 3, 4, 5, 6]
