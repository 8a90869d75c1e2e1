"""RFC 5545, Internet Calendaring and Scheduling Core Object Specification (iCalendar), IETF 2009, and RFC 7986, New
Properties for iCalendar, IETF 2016.

What our calendars publish is held against the rules of the sections named at each test: its lines by hand as the
grammar has them, its meaning by reading it back with the icalendar library. The sections are quoted from memory.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from icalendar import Calendar

from shop.documents.calendars import calendar_bytes
from shop.selectors.calendars import CalendarEvent, PublishedCalendar

ZONE = "America/New_York"
TOLD = datetime(2026, 3, 2, 14, 5, 6, 789, tzinfo=UTC)
WORK = CalendarEvent(
    uid="step-abc-1",
    sequence=3,
    changed_at=TOLD,
    start=datetime(2026, 3, 6, 18, tzinfo=UTC),
    end=datetime(2026, 3, 6, 22, tzinfo=UTC),
    summary="Wire, set up; then test, B-1001",
    description="Żuraw 500 – a name so long that its line has to be folded more than once, Casey Example.\nNext",
    path="/builds/abc/",
    location="Bench 2; north, window",
)
FINISH = CalendarEvent(
    uid="promise-abc",
    sequence=0,
    changed_at=TOLD,
    start=date(2026, 3, 9),
    end=date(2026, 3, 21),
    summary="B-1001 promised, Casey Example",
    description="Anvil 500",
    path="/builds/abc/",
    busy=False,
    sure=True,
)


def published(*events: CalendarEvent, **changed: Any) -> bytes:
    told = {"zone": ZONE, "base_url": "https://shop.example", "today": date(2026, 3, 2), **changed}
    return calendar_bytes(PublishedCalendar(name="Bench work, Ana", events=events), **told)


def unfolded(body: bytes) -> list[str]:
    """3.1: a line break and one white space is folding."""
    return re.sub(r"\r\n[ \t]", "", body.decode()).split("\r\n")


def only(body: bytes) -> Any:
    (event,) = Calendar.from_ical(body).walk("VEVENT")
    return event


def test_lines_end_in_crlf_and_none_is_longer_than_75_octets():
    """3.1 Content lines: delimited by CRLF; SHOULD NOT be longer than 75 octets without the break."""
    body = published(WORK, FINISH)
    assert body.endswith(b"\r\n")
    assert b"\n" not in body.replace(b"\r\n", b"")
    assert max(len(line) for line in body.split(b"\r\n")) <= 75
    assert any(line.startswith(b" ") for line in body.split(b"\r\n"))
    body.decode("utf-8")  # no character is cut by folding; 3.1.4: the default charset is UTF-8


def test_text_is_escaped_and_reads_back_as_it_was():
    """3.3.11 Text: backslash, semicolon, comma and line break are escaped."""
    lines = unfolded(published(WORK))
    assert r"SUMMARY:Wire\, set up\; then test\, B-1001" in lines
    assert r"LOCATION:Bench 2\; north\, window" in lines
    event = only(published(WORK))
    assert (event["summary"], event["description"]) == (WORK.summary, WORK.description)


def test_the_object_begins_with_version_and_product_once_each():
    """3.6: PRODID and VERSION are REQUIRED and MUST NOT occur more than once; 3.7.4: VERSION is 2.0."""
    lines = unfolded(published(WORK, FINISH))
    assert (lines[0], lines[-2], lines[-1]) == ("BEGIN:VCALENDAR", "END:VCALENDAR", "")
    assert [line for line in lines if line.startswith("VERSION:")] == ["VERSION:2.0"]
    assert sum(line.startswith("PRODID:") for line in lines) == 1


def test_a_calendar_with_nothing_to_tell_is_whole():
    """3.6: an object has at least one component. Without work it is VTIMEZONE."""
    calendar = Calendar.from_ical(published())
    assert [part.name for part in calendar.subcomponents] == ["VTIMEZONE"]


@pytest.mark.parametrize("event", [WORK, FINISH])
def test_an_event_has_its_required_properties_once(event: CalendarEvent):
    """3.6.1: DTSTAMP and UID are REQUIRED and MUST NOT occur more than once; DTSTART is where METHOD is missing. DTEND
    and DURATION exclude each other."""
    inside = unfolded(published(event))
    lines = inside[inside.index("BEGIN:VEVENT") + 1 : inside.index("END:VEVENT")]
    names = Counter(re.split("[;:]", line)[0] for line in lines)
    once = ("UID", "DTSTAMP", "DTSTART", "DTEND", "SEQUENCE", "LAST-MODIFIED", "SUMMARY", "STATUS", "TRANSP", "CLASS")
    assert [names[name] for name in once] == [1] * len(once)
    assert names["DURATION"] == 0
    assert not any(line.startswith("METHOD") for line in inside)


def test_dtstamp_and_last_modified_are_utc_and_say_when_it_was_changed():
    """3.8.7.2: DTSTAMP is in UTC; without METHOD it is when the information was last revised, as LAST-MODIFIED
    (3.8.7.3). 3.3.5 form 2: UTC ends in Z. Whole seconds."""
    lines = unfolded(published(WORK))
    assert "DTSTAMP:20260302T140506Z" in lines
    assert "LAST-MODIFIED:20260302T140506Z" in lines


def test_a_local_time_names_a_zone_that_is_defined_in_the_object():
    """3.8.3.1 and 3.2.19: for each TZID used there MUST be a VTIMEZONE; no UTC offset is given beside it."""
    body = published(WORK)
    used = set(re.findall(r"TZID=([^:;]+):", "\n".join(unfolded(body))))
    defined = {str(part["tzid"]) for part in Calendar.from_ical(body).walk("VTIMEZONE")}
    assert used == defined == {ZONE}
    assert "DTSTART;TZID=America/New_York:20260306T130000" in unfolded(body)  # 18:00 UTC is 13:00 in winter


def test_a_zone_has_standard_and_daylight_time_with_their_offsets():
    """3.6.5: at least one STANDARD or DAYLIGHT part; each has DTSTART, TZOFFSETFROM and TZOFFSETTO."""
    zone: Any
    (zone,) = Calendar.from_ical(published()).walk("VTIMEZONE")
    assert {part.name for part in zone.subcomponents} == {"STANDARD", "DAYLIGHT"}
    hours = {part.name: part["tzoffsetto"].td for part in zone.subcomponents}
    assert hours == {"STANDARD": timedelta(hours=-5), "DAYLIGHT": timedelta(hours=-4)}
    assert all({"DTSTART", "TZOFFSETFROM", "TZOFFSETTO"} <= set(part.keys()) for part in zone.subcomponents)


@pytest.mark.parametrize("day", [date(2026, 3, 6), date(2026, 3, 9), date(2026, 10, 30), date(2026, 11, 2)])
def test_moments_read_back_are_the_same_on_either_side_of_the_clocks_change(day: date):
    """In New York the clocks change on 8 March and 1 November 2026."""
    start = datetime(day.year, day.month, day.day, 9, tzinfo=ZoneInfo(ZONE)).astimezone(UTC)
    event = only(published(replace(WORK, start=start, end=start + timedelta(hours=3))))
    assert event["dtstart"].dt.astimezone(UTC) == start
    assert event["dtend"].dt - event["dtstart"].dt == timedelta(hours=3)


def test_a_window_of_days_is_whole_days_with_the_end_not_in_it():
    """3.3.4 and 3.6.1: VALUE=DATE; DTEND is the non-inclusive end: to 20 March is DTEND 21 March."""
    lines = unfolded(published(FINISH))
    assert "DTSTART;VALUE=DATE:20260309" in lines
    assert "DTEND;VALUE=DATE:20260321" in lines
    assert "TRANSP:TRANSPARENT" in lines  # 3.8.2.7: it takes nobody's time


def test_status_and_transparency_are_words_of_the_standard():
    """3.8.1.11: of a VEVENT TENTATIVE, CONFIRMED or CANCELLED; 3.8.2.7: OPAQUE or TRANSPARENT; 3.8.1.3: PRIVATE."""
    work, finish = only(published(WORK)), only(published(FINISH))
    assert (work["status"], work["transp"], work["class"]) == ("TENTATIVE", "OPAQUE", "PRIVATE")
    assert finish["status"] == "CONFIRMED"


def test_the_uid_is_global_and_the_sequence_a_whole_number():
    """3.8.4.7: globally unique, the host's name on the right of an @ is recommended; 3.8.7.4: SEQUENCE an integer."""
    lines = unfolded(published(WORK))
    assert "UID:step-abc-1@shop.example" in lines
    assert "SEQUENCE:3" in lines


def test_how_often_to_ask_is_said():
    """RFC 7986, 5.7: REFRESH-INTERVAL;VALUE=DURATION; 5.1: NAME of the calendar."""
    lines = unfolded(published())
    assert "REFRESH-INTERVAL;VALUE=DURATION:PT15M" in lines
    assert r"NAME:Bench work\, Ana" in lines


def test_the_same_calendar_gives_the_same_bytes():
    """What ETag rests on (RFC 9110, 8.8.3)."""
    assert published(WORK, FINISH) == published(WORK, FINISH)
