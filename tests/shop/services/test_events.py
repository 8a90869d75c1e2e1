from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError

from shop.models import Event
from shop.services.events import event_write


@pytest.mark.django_db
def test_an_act_is_written_with_who_what_and_why(person) -> None:
    counter = person("counter")
    event = event_write(
        person=counter, verb="moved", subject="B-1007", before="place 7", after="place 5", reason="yielded"
    )
    assert Event.objects.get() == event
    assert (event.person, event.before, event.after, event.reason) == (counter, "place 7", "place 5", "yielded")


@pytest.mark.django_db
def test_long_before_and_after_are_cut_with_a_mark() -> None:
    event = event_write(person=None, verb="changed", subject="Q-1", before="x" * 300, after="x" * 301)
    event.refresh_from_db()
    assert event.before == "x" * 300
    assert event.after == "x" * 299 + "…"


@pytest.mark.django_db
def test_a_reason_too_long_to_keep_is_refused_not_cut() -> None:
    with pytest.raises(ValidationError, match="300"):
        event_write(person=None, verb="changed", subject="Q-1", reason="x" * 301)
    assert not Event.objects.exists()
