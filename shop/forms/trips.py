"""What is asked about a trip, and about a claim. Both are sent by GET: an answer can be kept and passed on."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from django import forms

from quoting.claims import BODIES, Claim
from quoting.errors import FieldError
from quoting.parts import CHEMISTRIES
from shop.forms.base import ShopForm
from shop.forms.fields import MeasureField, PlainMeasureField
from shop.selectors.trips import TripAsked

CHEMISTRY_WORDS = {"nmc": "Lithium ion (NMC)", "lfp": "Lithium iron phosphate (LFP)", "lead": "Lead-acid"}
PER_KILO = 1000.0


class TripForm(ShopForm):
    """The way, in the customer's words."""

    distance_km = MeasureField("distance", label="How far, one way")
    highway_km = MeasureField("distance", label="Of it on the highway", required=False)
    highway_kmh = MeasureField(
        "speed", label="At a steady", required=False, help_text="Empty: our highway profile, 65 to 70 mph."
    )
    town_km = MeasureField("distance", label="Of it in town", required=False)
    climb_m = MeasureField(
        "height",
        label="Height climbed",
        required=False,
        help_text="Only the way up counts; going down saves a part of it.",
    )
    cold = forms.BooleanField(label="On a cold day", required=False)
    charged_there = forms.BooleanField(label="Charged at the far end", required=False)

    def asked(self) -> TripAsked:
        """The trip; call it on a valid form."""
        values = {name: value for name, value in self.cleaned_data.items() if value is not None}
        return TripAsked(**values)


class ClaimForm(ShopForm):
    """What is said of a bike. Everything may stay empty; two figures that belong together can be held to each other."""

    distance_km = MeasureField("distance", label="Range claimed", required=False)
    speed_kmh = MeasureField("speed", label="Ridden at", required=False, help_text="Steady, on the level.")
    energy_wh = PlainMeasureField("kWh", label="Pack", required=False, help_text="Nominal energy.")
    charge_h = PlainMeasureField("h", label="Full charge in", required=False)
    charger_w = PlainMeasureField("kW", label="Charger", required=False)
    cont_w = PlainMeasureField("kW", label="Motor, for good", required=False)
    body = forms.ChoiceField(
        label="Kind of bike", choices=[(code, body.label) for code, body in BODIES.items()], required=False
    )
    laden_kg = MeasureField("mass", label="Weighs, with rider", required=False, help_text="Empty: usual for its kind.")
    chemistry = forms.ChoiceField(
        label="Cells", choices=[(code, CHEMISTRY_WORDS[code]) for code in CHEMISTRIES], required=False
    )

    IN_KILO = ("energy_wh", "charger_w", "cont_w")

    def claim(self) -> Claim:
        """The claim; call it on a valid form."""
        names = {field.name for field in fields(Claim)}
        typed = ((name, value) for name, value in self.cleaned_data.items() if value not in (None, ""))
        values: dict[str, Any] = {name: value for name, value in typed if name in names}
        for name in self.IN_KILO:
            if name in values:
                values[name] *= PER_KILO
        return Claim(**values)


def take_problems(form: ShopForm, error: FieldError) -> None:
    """The engine's words beside the fields they belong to."""
    for problem in error.problems:
        form.add_error(problem.field if problem.field in form.fields else None, f"{problem.problem} {problem.remedy}")
