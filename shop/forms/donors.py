"""A donor bike, and a family of them with its bays."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any, cast

from django import forms

from shop.forms.base import ShopForm
from shop.forms.days import YearField
from shop.forms.fields import MeasureField, PlainMeasureField, ShareField
from shop.models import BrakeKind, CountrySheet, Customer, DonorFamily, FrameKind, Market, Side

ANSWERS = [("", "Not asked yet"), ("yes", "Yes"), ("no", "No")]
SHARE_HIGH = Decimal(99)
BLANK_BAYS = 2  # without script a frame takes two more bays per save (our own choice)


def unsaid(choices: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    return [("", "Not known"), *choices]


class AnswerField(forms.ChoiceField):
    """Yes, no, or not asked yet: True, False or None."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"choices": ANSWERS, "required": False, **kwargs})

    def clean(self, value: Any) -> bool | None:
        answer = super().clean(value)
        return None if answer == "" else answer == "yes"

    def prepare_value(self, value: Any) -> Any:
        return {True: "yes", False: "no", None: ""}.get(value, value)

    def has_changed(self, initial: Any, data: Any) -> bool:
        return bool(self.prepare_value(initial) != (data or ""))


class DonorForm(ShopForm):
    """One bike. Masses and the odometer in the shop's units, or in any that is typed with the figure."""

    family = forms.ModelChoiceField(
        label="Family", queryset=DonorFamily.objects.all(), to_field_name="public_id", empty_label="Choose a family"
    )
    owner = forms.ModelChoiceField(
        label="Whose",
        queryset=Customer.objects.order_by("name"),
        to_field_name="public_id",
        empty_label="Ours, in the yard",
        required=False,
    )
    vin = forms.CharField(label="VIN or frame number", max_length=30, required=False)
    year = YearField(label="Model year")
    market = forms.ChoiceField(label="Made for", choices=Market.choices, initial=Market.NORTH_AMERICA)
    registered_in = forms.ModelChoiceField(
        label="To be registered in",
        queryset=CountrySheet.objects.all(),
        to_field_name="public_id",
        empty_label="Where the shop is",
        required=False,
    )
    color = forms.CharField(label="Color", max_length=40, required=False)
    kerb_kg = MeasureField("mass", label="Weighs", required=False, help_text="Weighed; empty takes the family's.")
    gvwr_kg = MeasureField("mass", label="Gross weight on plate", required=False, help_text="GVWR.")
    odometer_km = MeasureField("distance", label="Odometer", required=False)
    title_seen = AnswerField(label="Title seen")
    stolen_check_done = AnswerField(label="Stolen check done")
    condition = forms.CharField(
        label="Condition", required=False, max_length=2000, widget=forms.Textarea(attrs={"rows": 3})
    )


class FamilyForm(ShopForm):
    """A frame family. An empty figure is not known: a quote then says which one it waits for."""

    name = forms.CharField(label="Name", max_length=120)
    code = forms.SlugField(
        label="Code",
        max_length=40,
        help_text="Adapters in the catalogue name the families they fit by it.",
        error_messages={"invalid": "Use letters, figures, dashes and underscores only."},
    )
    first_year = YearField(label="First year")
    last_year = YearField(label="Last year")
    frame_kind = forms.ChoiceField(label="Frame", choices=unsaid(FrameKind.choices), required=False)
    wheelbase_m = PlainMeasureField("m", label="Wheelbase", required=False)
    cg_height_m = PlainMeasureField("m", label="Height of mass with rider", required=False)
    kerb_kg = MeasureField("mass", label="Kerb mass", required=False)
    front_share = ShareField(
        label="On the front axle", low=Decimal(1), high=SHARE_HIGH, required=False, help_text="Share of the kerb mass."
    )
    removed_kg = MeasureField(
        "mass", label="Mass that leaves", required=False, help_text="Engine, exhaust, tank, fuel and the rest."
    )
    removed_x_m = PlainMeasureField("m", label="Its center behind the front axle", required=False)
    gvwr_kg = MeasureField("mass", label="Gross weight rating", required=False, help_text="From the plate.")
    gawr_front_kg = MeasureField("mass", label="Front axle rating", required=False)
    gawr_rear_kg = MeasureField("mass", label="Rear axle rating", required=False)
    brake_rated_kg = MeasureField("mass", label="Brakes rated for", required=False)
    cda_m2 = PlainMeasureField("m²", label="Drag area with rider", required=False)
    crr = PlainMeasureField("", label="Rolling resistance", required=False)
    engine_kw = PlainMeasureField("kW", label="Engine power", required=False)
    system_v = PlainMeasureField("V", label="Electrical system", required=False)
    front_tire = forms.CharField(label="Front tire", max_length=30, required=False, help_text="100/90-18")
    rear_tire = forms.CharField(label="Rear tire", max_length=30, required=False, help_text="130/70-17")
    rear_rim_inch = PlainMeasureField("in", label="Rear rim", required=False)
    dropout_mm = PlainMeasureField("mm", label="Rear dropout width", required=False)
    axle_mm = PlainMeasureField("mm", label="Rear axle diameter", required=False)
    front_brake = forms.ChoiceField(label="Front brake", choices=unsaid(BrakeKind.choices), required=False)
    rear_brake = forms.ChoiceField(label="Rear brake", choices=unsaid(BrakeKind.choices), required=False)
    brake_side = forms.ChoiceField(label="Rear brake's side", choices=unsaid(Side.choices), required=False)
    chain_pitch = forms.CharField(label="Chain pitch", max_length=8, required=False)

    GROUPS = (
        ("The family", ("name", "code", "first_year", "last_year")),
        ("Frame and mass", ("frame_kind", "wheelbase_m", "cg_height_m", "kerb_kg", "front_share")),
        ("What comes out", ("removed_kg", "removed_x_m", "engine_kw", "system_v")),
        ("Plate and brakes", ("gvwr_kg", "gawr_front_kg", "gawr_rear_kg", "brake_rated_kg", "front_brake", "rear_brake",
                              "brake_side")),
        ("Wheels and chain", ("front_tire", "rear_tire", "rear_rim_inch", "dropout_mm", "axle_mm", "chain_pitch")),
        ("On the road", ("cda_m2", "crr")),
    )  # fmt: skip

    @classmethod
    def shown(cls, family: DonorFamily) -> dict[str, Any]:
        """What a family's form starts with."""
        values = {name: getattr(family, name) for name in cls.base_fields}
        share = family.front_share
        return {**values, "front_share": None if share is None else Decimal(str(share))}

    def clean_front_share(self) -> float | None:
        share = self.cleaned_data["front_share"]
        return None if share is None else float(share)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        first, last = data.get("first_year"), data.get("last_year")
        if first and last and last < first:
            self.add_error("last_year", "The last year lies before the first.")
        return data

    def groups(self) -> list[tuple[str, list[forms.BoundField]]]:
        return [(words, [self[name] for name in names]) for words, names in self.GROUPS]


class BayForm(ShopForm):
    """A box-shaped space in the frame."""

    name = forms.CharField(label="Bay", max_length=60)
    length_mm = PlainMeasureField("mm", label="Length", low=Decimal(1))
    width_mm = PlainMeasureField("mm", label="Width", low=Decimal(1))
    height_mm = PlainMeasureField("mm", label="Height", low=Decimal(1))
    x_m = PlainMeasureField("m", label="Behind front axle", required=False)


class BaseBays(forms.BaseFormSet):  # type: ignore[type-arg]  # it takes its types from the checker's stubs only
    """The bays of one family, two empty rows below; a row left empty is not there."""

    def add_fields(self, form: forms.Form, index: int | None) -> None:
        super().add_fields(form, index)
        form.fields["DELETE"].label = "Take this bay away"

    def clean(self) -> None:
        kept = [form for form in self.forms if form.is_valid() and form.cleaned_data.get("name")]
        seen: set[str] = set()
        for form in kept:
            name = form.cleaned_data["name"]
            if name in seen and not form.cleaned_data.get("DELETE"):
                form.add_error("name", "Another bay has this name.")
            seen.add(name)

    def bays(self) -> list[dict[str, Any]]:
        """The rows to keep, as values of a bay."""
        rows = [form.cleaned_data for form in self.forms if form.cleaned_data.get("name")]
        return [{k: v for k, v in row.items() if k != "DELETE"} for row in rows if not row.get("DELETE")]


BayFormSet = cast(type[BaseBays], forms.formset_factory(BayForm, formset=BaseBays, extra=BLANK_BAYS, can_delete=True))
