"""The pattern page: every component once, in every state it has."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from quoting.request import Donor
from quoting.result import (
    BandPoint,
    Finding,
    PackFigures,
    RideFigures,
    SagPoint,
    WayOut,
    WeightFigures,
    Working,
)
from shop.charts import axle_chart, power_chart, range_chart, voltage_chart
from shop.forms.base import ShopForm
from shop.forms.fields import AmountField, CountField, HoursField, MeasureField, ShareField
from shop.permissions import OWNER, roles_required
from shop.selectors.shop import shop_now, the_shop


class PatternForm(ShopForm):
    """One field of each kind."""

    mark_optional = True

    name = forms.CharField(help_text="As it is written on letters.")
    amount = AmountField(label="Budget, all in", initial=Decimal("18000"))
    distance = MeasureField("distance", label="Back road", initial=80.4672, help_text="Miles, or type 80 km.")
    speed = MeasureField("speed", label="Holds", initial=104.6)
    mass = MeasureField("mass", label="Kerb mass", required=False)
    share = ShareField(label="Discount", initial=Decimal("0.05"))
    hours = HoursField(label="Hours", initial=Decimal("14.25"))
    count = CountField(label="Count", initial=Decimal(260))
    kind = forms.ChoiceField(choices=[("conversion", "Full conversion"), ("service", "Service or repair")])
    two_up = forms.BooleanField(label="Two people ride it", required=False)
    note = forms.CharField(widget=forms.Textarea(attrs={"rows": 3}), required=False)


FINDINGS = (
    Finding(
        rule="pack-full-controller",
        level="stop",
        title="Pack over the controller's limit",
        explanation="28 in series make 117.6 V full; the controller takes 96 V.",
        value=117.6,
        limit=96.0,
        margin=-21.6,
        unit="V",
        ways_out=(WayOut(kind="count", text="At most 22 in series", field="series", value="22"),),
        source="the controller's data sheet",
    ),
    Finding(
        rule="wish-range", level="check", title="Back road wish not met", explanation="Wished 50 mi, expected 38 to 46."
    ),
    Finding(
        rule="circuit", level="note", title="Circuit holds the charger", explanation="A 15 A circuit gives 1.44 kW."
    ),
)
WORKING = Working(
    figure="full_v",
    label="Pack voltage, full",
    formula="full = series × cell's highest voltage",
    inputs=(("series", "20"), ("cell's highest voltage", "4.20 V")),
    result="84.0 V",
    source="the cell's data sheet",
)


RIDE = RideFigures(
    band=tuple(
        BandPoint(
            kmh=kmh,
            low_km=likely_km * 0.9,
            likely_km=likely_km,
            high_km=likely_km * 1.1,
            battery_w=need_w * 1.15,
            wheel_need_w=need_w,
            wheel_peak_w=15_000,
            wheel_held_w=9_000,
        )
        for kmh, likely_km, need_w in ((40, 118, 1_100), (60, 92, 2_600), (80, 70, 5_100), (100, 54, 9_000))
    )
)
PACK = PackFigures(
    series=20,
    parallel=13,
    cells=260,
    series_cells=20,
    empty_v=56.0,
    sag=tuple(
        SagPoint(
            soc=soc, load=load, power_w=watts, open_v=rested, loaded_v=loaded, current_a=watts / loaded, cell_a=None
        )
        for load, watts, volts in (("continuous", 9e3, (81.0, 71.5, 62.0)), ("peak", 18e3, (77.5, 67.5, 57.5)))
        for soc, rested, loaded in zip((1.0, 0.5, 0.2), (84.0, 74.0, 66.0), volts, strict=True)
    ),
)
WEIGHT = WeightFigures(
    before_kg=205, after_kg=199, laden_kg=289, front_before_kg=100, front_after_kg=94, front_laden_kg=124,
    rear_before_kg=105, rear_after_kg=105, rear_laden_kg=165,
)  # fmt: skip
DONOR = Donor(family="example", label="Example 500", gvwr_kg=400, gawr_front_kg=165, gawr_rear_kg=265)


@require_safe
@roles_required(OWNER)
def patterns(request: HttpRequest) -> HttpResponse:
    shop = the_shop()
    now = shop_now(shop)
    wrong = PatternForm({"name": "", "amount": "1.80,5", "distance": "50 lb", "kind": "conversion"}, shop=shop)
    days = [now.date() + timedelta(days=away) for away in (-6, 0, 2, 40)]
    context = {
        "form": PatternForm(shop=shop, prefix="right"),
        "wrong": wrong,
        "findings": FINDINGS,
        "working": WORKING,
        "now": now,
        "days": days,
        "charts": (
            range_chart(RIDE, shop.units),
            power_chart(RIDE, shop.units),
            voltage_chart(PACK),
            axle_chart(WEIGHT, DONOR, shop.units),
        ),
        "amounts": (Decimal("17885.41"), Decimal("3.845"), Decimal(0), None),
    }
    return render(request, "patterns/page.html", context)
