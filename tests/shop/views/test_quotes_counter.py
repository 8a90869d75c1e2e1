"""The Counter's page, and how changes of wishes, sale, note, pack and price are answered."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.models import Job, OpeningHours
from shop.services.quotes import option_copy, version_revise
from tests.shop.made_counter import Counter, text
from tests.shop.made_quotes_offered import offer
from tests.shop.made_shop import make_tax_place


def figure(page: str, name: str) -> str:
    """The text of a figure on the page."""
    found = re.search(rf'data-figure="{re.escape(name)}"[^>]*>(.*?)<', page, re.DOTALL)
    assert found is not None, f"no figure {name}"
    return " ".join(found.group(1).split())


def test_the_page_shows_what_the_build_comes_to(counter: Counter) -> None:
    page = text(counter.get("quote"))
    # Parts by their list prices, cells at 480 × 4.59 (3.40 landed + 35 % markup): 6,668.20 (see made_parts).
    assert figure(page, "parts-sum") == "$6,668.20"
    assert "hub motor 10 kW 72 V" in page
    assert "20s24p" in page
    assert figure(page, "total").startswith("$")


def test_the_customers_side_of_the_desk_sees_no_cost_unless_it_is_opened(counter: Counter) -> None:
    page = text(counter.get("quote"))
    assert re.search(r'<details class="fold staff" id="costs">', page)  # closed: no "open"


def test_without_script_every_form_posts_and_every_link_leads_somewhere(counter: Counter) -> None:
    page = text(counter.get("quote"))
    forms = re.findall(r"<form\b[^>]*>", page)
    assert forms
    assert [form for form in forms if " action=" not in form] == []
    links = re.findall(r"<a\b[^>]*hx-get[^>]*>", page)
    assert [link for link in links if " href=" not in link] == []


def test_a_change_is_answered_with_fragments_and_without_script_with_the_page(counter: Counter) -> None:
    answer = counter.post("option-pack", "A", pack__series="20", pack__parallel="30", pack__link_mohm="2")
    assert answer.status_code == 200
    assert "<html" not in text(answer)
    assert figure(text(answer), "pack-line").startswith("20s30p")
    for fragment in ("price", "when", "road", "findings", "weight", "tabs", "bar", "saved"):
        assert re.search(rf'id="{fragment}"[^>]*hx-swap-oob="true"', text(answer)), fragment
    plain = counter.post_plain("option-pack", "A", pack__series="20", pack__parallel="28", pack__link_mohm="2")
    assert plain.status_code == 302
    assert plain.headers["Location"] == f"{counter.address('quote')}?option=A#pack"
    assert counter.option.parallel == 28


def test_fragments_are_the_page_s_own(counter: Counter) -> None:
    answer = text(counter.post("option-label", "A", label__label="Commuter"))
    page = text(counter.get("quote"))
    assert figure(answer, "total") == figure(page, "total")
    assert "Commuter" in page


def test_cells_follow_the_pack_plan(counter: Counter) -> None:
    counter.post("option-pack", "A", pack__series="22", pack__parallel="20", pack__link_mohm="2")
    assert counter.part("CEL-1").quantity == 440


def test_bad_counts_are_refused_beside_the_field_and_kept_as_typed(counter: Counter) -> None:
    answer = counter.post("option-pack", "A", pack__series="twenty", pack__parallel="24", pack__link_mohm="2")
    assert answer.status_code == 422
    assert re.search(r'id="id_pack-series_error"[^>]*>“twenty” is not a number', text(answer))
    assert "<input" not in text(answer)  # the fields themselves are left alone
    plain = counter.post_plain("option-pack", "A", pack__series="twenty", pack__parallel="24")
    assert plain.status_code == 422
    assert 'value="twenty"' in text(plain)
    assert "“twenty” is not a number" in text(plain)
    assert counter.option.series == 20


def test_one_count_without_the_other_is_refused(counter: Counter) -> None:
    answer = counter.post("option-pack", "A", pack__series="20", pack__parallel="")
    assert "A pack needs both counts" in text(answer)


def test_wishes_are_typed_in_the_shops_units_and_kept_in_km(counter: Counter) -> None:
    answer = counter.post(
        "quote-wishes",
        wishes__back_road_km="50",
        wishes__held_kmh="105 km/h",
        wishes__budget="18,000",
        wishes__two_up="on",
    )
    assert answer.status_code == 200
    counter.version.refresh_from_db()
    assert counter.version.back_road_km == pytest.approx(80.4672)  # 50 × 1.609344
    assert counter.version.held_kmh == pytest.approx(105)
    assert (counter.version.budget, counter.version.two_up) == (Decimal(18000), True)


def test_wishes_for_top_speed_and_hills_are_held_against_the_bike(counter: Counter) -> None:
    page = text(counter.post("quote-wishes", wishes__top_kmh="200 mph", wishes__hill_percent="40"))
    assert "Top speed is short of the wish" in page
    assert "A hill of 40 % is wished" in page
    counter.version.refresh_from_db()
    assert counter.version.top_kmh == pytest.approx(321.8688)  # 200 × 1.609344
    assert counter.version.hill_percent == 40
    assert "Top speed is short of the wish" not in text(counter.post("quote-wishes", wishes__top_kmh="20 mph"))


def test_a_wish_shown_rounded_is_not_saved_back_rounded(counter: Counter) -> None:
    counter.post("quote-wishes", wishes__back_road_km="80 km")
    shown = re.search(r'name="wishes-back_road_km" value="([^"]+)"', text(counter.get("quote")))
    assert shown is not None
    assert shown.group(1) == "49.7"  # 80 ÷ 1.609344 = 49.71
    counter.post("quote-wishes", wishes__back_road_km=shown.group(1), wishes__budget="18,000")
    counter.version.refresh_from_db()
    assert counter.version.back_road_km == pytest.approx(80, abs=1e-9)
    assert counter.version.budget == 18_000


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("back_road_km", "far", "is not a measure"),
        ("back_road_km", "50 lb", "is not a unit that fits here"),
        ("held_kmh", "-5", "Write 0 or more"),
        ("hill_percent", "90", "Write 60 or less"),
        ("budget", "eighteen", "is not a number"),
        ("circuit_v", "120", "needs both volts and amps"),
    ],
)
def test_wishes_that_cannot_be_read(field: str, typed: str, words: str, counter: Counter) -> None:
    answer = counter.post("quote-wishes", **{f"wishes__{field}": typed})
    assert answer.status_code == 422
    assert words in text(answer)


def test_another_tax_place_and_job(counter: Counter) -> None:
    place = make_tax_place("elsewhere", rates=("0.05",))
    answer = counter.post("quote-sale", sale__job="service", sale__tax_place=str(place.pk))
    assert answer.status_code == 200
    counter.version.refresh_from_db()
    assert (counter.version.tax_place, counter.quote.job) == (place, Job.SERVICE)
    assert 'id="hours"' in text(answer)  # another job has other steps


def test_a_tax_place_that_is_not_there_is_refused(counter: Counter) -> None:
    before = counter.version.tax_place
    answer = counter.post("quote-sale", sale__job="conversion", sale__tax_place="0")
    assert answer.status_code == 422
    counter.version.refresh_from_db()
    assert counter.version.tax_place == before


def test_without_a_tax_place_the_price_says_it_is_not_firm(counter: Counter) -> None:
    counter.post("quote-sale", sale__job="conversion", sale__tax_place="")
    assert "The price is not firm" in text(counter.get("quote"))


def test_the_note_is_kept(counter: Counter) -> None:
    counter.post("quote-note", note__note="Paint is extra.")
    counter.version.refresh_from_db()
    assert counter.version.note == "Paint is extra."
    assert counter.post("quote-note", note__note="x" * 2001).status_code == 422


def test_a_discount_needs_its_reason_and_stays_within_the_role(counter: Counter, owner_client) -> None:
    assert "Say why" in text(counter.post("option-price", "A", price__discount_rate="5"))
    large = {"price__discount_rate": "25", "price__discount_reason": "friend of the shop"}
    answer = counter.post("option-price", "A", **large)
    assert answer.status_code == 422
    assert "above what the counter may give" in text(answer)
    owner = Counter(owner_client, counter.version)
    assert owner.post("option-price", "A", **large).status_code == 200
    assert counter.option.discount_rate == Decimal("0.25")


@pytest.fixture
def owner_client(client_as):
    return client_as("owner")


def test_contingency_and_allowance(counter: Counter) -> None:
    answer = counter.post(
        "option-price",
        "A",
        price__contingency_rate="7.5",
        price__allowance_amount="450",
        price__allowance_label="engine",
    )
    assert answer.status_code == 200
    option = counter.option
    assert (option.contingency_rate, option.allowance_amount) == (Decimal("0.075"), Decimal(450))
    assert "engine" in text(answer)
    assert "Say what the allowance is for" in text(
        counter.post("option-price", "A", price__allowance_amount="450", price__allowance_label="")
    )


def test_options_are_copied_switched_by_address_and_removed(counter: Counter) -> None:
    answer = counter.client.post(counter.address("option-new"), {"copy": "A"})
    assert answer.headers["Location"] == f"{counter.address('quote')}?option=B"
    assert counter.version.options.get(key="B").parts.count() == counter.option.parts.count()
    page = text(counter.get("quote", query={"option": "B"}))
    assert "Price, option B" in page
    counter.client.post(counter.address("option-new"))
    assert counter.version.options.get(key="C").parts.count() == 0
    refused = counter.client.post(counter.address("option-new"), follow=True)
    assert "messages" in text(refused)
    counter.client.post(counter.address("option-remove", "B"))
    assert list(counter.version.options.values_list("key", flat=True)) == ["A", "C"]


def test_the_last_option_stays(counter: Counter) -> None:
    answer = counter.client.post(counter.address("option-remove", "A"), follow=True)
    assert "A quote has at least one option" in text(answer)


def test_options_stand_side_by_side_and_what_differs_is_marked(counter: Counter) -> None:
    option_copy(option=counter.option, person=None)
    counter.post("option-pack", "B", pack__series="20", pack__parallel="30", pack__link_mohm="2")
    page = text(counter.get("quote-compare"))
    assert "480 × round cell 5 Ah" in page
    assert "600 × round cell 5 Ah" in page
    marked = re.findall(r'<tr class="differing">\s*<th scope="row">([^<]+?)\s*<span', page)
    assert {"Total", "Cells", "Energy"} <= set(marked)
    assert "Motor" not in marked


def test_a_shop_that_is_never_open_still_shows_the_price_and_no_date(counter: Counter) -> None:
    OpeningHours.objects.all().delete()
    answer = counter.get("quote")
    assert answer.status_code == 200
    assert "No figures yet" in text(answer)


def test_customer_bike_and_job_stay_once_offered(counter: Counter) -> None:
    version_revise(version=offer(counter.version), person=None)
    page = text(counter.get("quote"))
    assert "has been offered once" in page
    assert 'name="sale-job"' not in page
    draft = counter.quote.versions.get(state="draft")
    assert draft.number == 2
    answer = counter.post("quote-sale", sale__tax_place="")
    assert answer.status_code == 200


def test_a_change_asks_few_queries_whatever_the_number_of_parts(counter: Counter) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as caught:
            counter.post("option-label", "A", label__label=f"name {len(caught)}")
        return len(caught)

    many = queries()
    for part in counter.option.parts.all()[5:]:
        part.delete()
    assert queries() == many <= 80
