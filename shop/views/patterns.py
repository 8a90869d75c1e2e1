"""The pattern page: every component once, in every state it has."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from quoting.result import Finding, WayOut, Working
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
        "amounts": (Decimal("17885.41"), Decimal("3.845"), Decimal(0), None),
    }
    return render(request, "patterns/page.html", context)
