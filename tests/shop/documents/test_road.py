from __future__ import annotations

from dataclasses import replace

from quoting import QuoteRequest, quote
from quoting.example import example_request
from quoting.request import Wishes
from shop.documents.pen import Pen
from shop.documents.road import RoadBlock, road_block

REQUEST = example_request()


def road(request: QuoteRequest = REQUEST, locale: str = "en-US") -> RoadBlock:
    pen = Pen(locale, request.currency, request.units)
    block = road_block(request, quote(request).options[0], pen)
    assert block is not None
    return block


def test_a_band_on_each_profile_with_the_speeds_it_is_ridden_at():
    rows = road().rows
    assert [row.label for row in rows] == ["Town", "Back road", "Highway"]
    # the engine's 69.3 to 82.7 km are 43.06 to 51.38 mi, 62.8 km in the cold 39.05 mi
    assert (rows[0].band, rows[0].cold) == ("43 to 51\xa0mi", "39\xa0mi")
    assert rows[0].speeds == "24\xa0mph average, 45\xa0mph top"  # 39.06 and 72.42 km/h
    assert rows[1].asked == "25\xa0mi"  # 40 km were wished


def test_a_profile_it_cannot_hold_shows_no_range():
    highway = road().rows[2]
    assert (highway.band, highway.cold) == ("cannot hold it", "")


def test_speeds_and_charging():
    facts = dict(road().facts)
    assert facts["Speed it holds"] == "60\xa0mph"  # 96.96 km/h
    assert facts["Top speed"] == "72\xa0mph, about 1\xa0min at a time"
    assert facts["Full charge at your 120\xa0V 15\xa0A"] == "3\xa0h 36\xa0min (20 to 80\xa0% in 2\xa0h 2\xa0min)"


def test_without_a_circuit_of_the_customers_the_usual_ones_are_shown():
    facts = dict(road(replace(REQUEST, wishes=Wishes())).facts)
    assert {"Full charge at 120\xa0V 15\xa0A", "Full charge at 240\xa0V 30\xa0A"} <= set(facts)
    assert not road(replace(REQUEST, wishes=Wishes())).was_asked


def test_what_the_figures_rest_on():
    words = " ".join(road().assumed).replace("\xa0", " ")
    assert words.startswith(
        "Worked out, not measured: rider 176 lb, luggage 22 lb; bike and load 567 lb together; 68 °F"
    )
    assert "92 % of its energy used. The band: drag area ±10 %, rolling ±15 %." in words
    assert "about 24 mi on a back road" in words  # 38.4 km at 80 % of the capacity


def test_a_passenger_is_named():
    words = " ".join(road(replace(REQUEST, wishes=Wishes(two_up=True))).assumed)
    assert "passenger 165\xa0lb" in words


def test_metric():
    block = road(replace(REQUEST, units="metric"), "fr-FR")
    assert block.cold_head == "At 0\xa0°C"
    assert block.rows[0].band == "69 to 83\xa0km"
    assert block.chart is not None
    assert block.chart.x_words == "steady speed, km/h"


def test_charging_alone_has_a_heading_of_its_own():
    kit = replace(REQUEST, job="parts_kit", donor=None)
    assert (road(kit).title, road(kit).rows, road(kit).chart) == ("Charging", (), None)


def test_nothing_about_the_road_is_no_block():
    service = replace(REQUEST, options=(replace(REQUEST.options[0], parts=(), pack=None),))
    assert road_block(service, quote(service).options[0], Pen("en-US", "USD", "us")) is None
