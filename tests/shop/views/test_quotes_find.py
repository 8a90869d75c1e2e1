"""Find builds at the Counter: what is found for the wishes, and a set put on an option."""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shop.models import Component, OptionPart, QuoteOption, QuoteVersion
from shop.selectors.finder import finder_question
from shop.services.errors import Refused
from shop.services.quotes import SetPart, option_fill, quote_set_wishes
from tests.shop.made_counter import Counter, text
from tests.shop.made_quotes_offered import offer

pytestmark = pytest.mark.django_db


def sent(page: str, key: str) -> dict[str, str]:
    """The fields of the first form on the page that goes to an option."""
    for form in re.findall(r'<form method="post" action="[^"]*find/use/">.*?</form>', page, flags=re.S):
        fields = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', form))
        if fields.get("option") == key:
            return fields
    raise AssertionError(f"no form for option {key}")


def on(option: QuoteOption) -> dict[str, Decimal]:
    return {part.component.code: part.quantity for part in option.parts.select_related("component")}


def test_the_counter_leads_to_the_builds(counter: Counter) -> None:
    assert counter.address("quote-find") in text(counter.get("quote"))


def test_builds_are_listed_with_price_range_and_finish(counter: Counter) -> None:
    page = text(counter.get("quote-find"))
    assert "that meet" in page
    assert "Back road" in page
    assert "Use as A" in page
    assert "combinations of parts" in page
    assert "<html" in page


def test_with_script_only_the_list_is_answered(counter: Counter) -> None:
    page = text(counter.get("quote-find", script=True))
    assert "<html" not in page
    assert "Use as A" in page


def test_wishes_nothing_meets_are_said_with_what_each_costs(counter: Counter) -> None:
    quote_set_wishes(version=counter.version, person=None, town_km=5.0, budget=Decimal(100))
    page = text(counter.get("quote-find"))
    assert "No build meets every wish" in page
    assert "Cheapest that meets all but budget" in page
    assert "Misses Budget:" in page


def test_a_set_fills_a_new_option_and_a_second_press_changes_nothing(counter: Counter) -> None:
    before = on(counter.option)
    fields = sent(text(counter.get("quote-find")), "B")
    for _ in range(2):
        response = counter.client.post(counter.address("quote-find-use"), fields)
        assert response.status_code == 302
        assert response["Location"].endswith("?option=B")
    made = counter.version.options.get(key="B")
    assert len(on(made)) == len(fields["parts"].split())
    assert made.steps.count() == counter.option.steps.count() > 0
    assert (str(made.series), str(made.parallel)) == (fields["series"], fields["parallel"])
    assert on(counter.option) == before
    assert counter.version.options.count() == 2
    quote = counter.quote
    assert quote.events.filter(verb="option filled").count() == 1


def test_parts_that_are_there_are_only_replaced_when_said_so(counter: Counter) -> None:
    fields = sent(text(counter.get("quote-find")), "A")
    fields["parallel"] = str(int(fields["parallel"]) + 1)
    asked = fields.pop("replacing")
    before = on(counter.option)
    refused = counter.client.post(counter.address("quote-find-use"), fields)
    assert refused.status_code == 409
    assert "parts already" in text(refused)
    assert on(counter.option) == before
    assert counter.client.post(counter.address("quote-find-use"), {**fields, "replacing": asked}).status_code == 302
    assert counter.option.parallel == int(fields["parallel"])


def test_the_price_shown_is_the_price_of_the_option_it_fills(counter: Counter) -> None:
    page = text(counter.get("quote-find"))
    shown = re.search(r'data-label="Due">\s*([\d,.]+)', page)
    assert shown is not None
    counter.client.post(counter.address("quote-find-use"), sent(page, "B"))
    assert shown.group(1) in text(counter.get("quote", query={"option": "B"}))


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("parts", "", "Fill this in."),
        ("parts", "nothing-here", "The set cannot be read."),
        ("parts", "no-such-part:1:1", "no longer in the catalogue"),
        ("parts", "x:-2:1", "The set cannot be read."),
        ("parts", "x:NaN:1", "The set cannot be read."),
        ("series", "0", "greater than or equal to 1"),
        ("option", "Z", "Z is not one of the available choices"),
    ],
)
def test_what_is_no_set_is_refused_in_words(counter: Counter, field: str, value: str, words: str) -> None:
    fields = {"option": "B", "like": "A", "series": "20", "parallel": "12", "parts": "x:1:1", field: value}
    response = counter.client.post(counter.address("quote-find-use"), fields)
    assert response.status_code == 422
    assert words in text(response)
    assert counter.version.options.count() == 1


def test_a_quote_without_a_bike_is_told_to_choose_one_first(counter: Counter) -> None:
    quote = counter.quote
    quote.donor = None
    quote.save(update_fields=["donor"])
    assert "Choose the donor first" in text(counter.get("quote-find"))
    assert counter.address("quote-find") not in text(counter.get("quote"))


def test_an_offered_quote_is_shown_instead(counter: Counter) -> None:
    offer(counter.version)
    assert counter.get("quote-find").status_code == 302
    assert counter.client.post(counter.address("quote-find-use"), {}).status_code == 409


def test_builders_and_strangers_are_kept_out(counter: Counter, client_as: Callable[[str], Client]) -> None:
    for name, method in (("quote-find", "get"), ("quote-find-use", "post")):
        assert getattr(client_as("builder"), method)(counter.address(name)).status_code == 403
        assert getattr(Client(), method)(counter.address(name)).status_code == 302


def test_wrong_methods_and_unknown_quotes(counter: Counter) -> None:
    assert counter.client.post(counter.address("quote-find")).status_code == 405
    assert counter.client.get(counter.address("quote-find-use")).status_code == 405
    assert counter.client.get(reverse("quote-find", args=["no-such-quote"])).status_code == 404
    assert counter.client.post(reverse("quote-find-use", args=["no-such-quote"])).status_code == 404


def test_the_question_takes_as_many_queries_for_a_wide_catalogue(counter: Counter) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as found:
            finder_question(QuoteVersion.objects.get(pk=counter.version.pk), "A")
        return len(found)

    queries()  # reads once what a process keeps
    few = queries()
    motor = Component.objects.get(code=counter.option.parts.get(component__kind="motor").component.code)
    for number in range(20):
        motor.pk, motor.public_id, motor.code = None, f"copy-{number}", f"COPY-{number}"
        motor._state.adding = True
        motor.save()
    assert queries() == few


def test_lines_of_other_kinds_stay_and_chosen_kinds_give_way(counter: Counter) -> None:
    question = finder_question(counter.version, "A")
    kept = {line.kind for line in question.frame.parts}
    assert not kept & {"motor", "controller", "cell", "module", "bms", "charger", "dcdc", "fuse", "contactor"}
    assert {"display", "lamp"} & kept == {"display", "lamp"} & {
        part.component.kind for part in counter.option.parts.select_related("component")
    }


def test_the_service_refuses_a_set_that_is_not_whole(counter: Counter, person: Callable[[str], User]) -> None:
    whole: dict[str, Any] = {
        "version": counter.version,
        "key": "B",
        "like": "A",
        "person": person("owner"),
        "series": 20,
        "parallel": 12,
    }
    component = OptionPart.objects.filter(option=counter.option).select_related("component")[0].component
    part = SetPart(component=component, quantity=Decimal(1))
    wrongs: tuple[dict[str, Any], ...] = ({"parts": []}, {"parts": [part], "series": 0}, {"parts": [part], "key": "Q"})
    for wrong in wrongs:
        with pytest.raises(Refused, match="not whole"):
            option_fill(**{**whole, **wrong})
    with pytest.raises(Refused, match="Option C is gone"):
        option_fill(**{**whole, "like": "C", "parts": [part]})
