"""A component's form, made from its kind's dataclass in quoting.parts; a supplier's offer; a file to import."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from babel.numbers import get_decimal_symbol
from django import forms
from django.core.exceptions import ValidationError

from quoting.errors import SpecError
from quoting.parts import KINDS, SpecField, read_value, spec_fields
from shop import written
from shop.forms.base import ShopForm
from shop.forms.days import DayField
from shop.forms.fields import AmountField, CountField, PlainMeasureField, ShareField, ShopField, WholeField
from shop.forms.lists import FilterForm
from shop.importing.cells import plain_number
from shop.importing.problems import CellError
from shop.models import BATCH_KINDS, SERIAL_KINDS, Component, DonorFamily, Offer, Supplier, TaxClass
from shop.selectors.catalogue import CatalogueFilter

SHOWN = (("", "All"), ("unpriced", "Without a price"), ("stale", "Old prices"), ("discontinued", "No longer made"))
KIND_CHOICES = [(kind.code, kind.label) for kind in KINDS.values()]
NOT_KNOWN = ("", "Not known")
ANSWERS = [NOT_KNOWN, ("yes", "Yes"), ("no", "No")]
BODY = ("mass_kg", "length_mm", "width_mm", "height_mm")
SPEC = "spec_"  # keeps a spec field from clashing with the component's own
LOWEST = Decimal("0.001")
MOST_DAYS = Decimal(32767)


class CatalogueFilterForm(FilterForm):
    kind = forms.ChoiceField(choices=[("", "Every kind"), *KIND_CHOICES], required=False)
    show = forms.ChoiceField(choices=SHOWN, required=False)

    def filters(self) -> CatalogueFilter:
        asked = self.read()
        return CatalogueFilter(text=asked["q"], kind=asked["kind"], show=asked["show"], page=asked["page"])


class SpecFigure(ShopField):
    """A number of a spec, with or without a unit: "72", "72 V", "4 AWG". Kept in the field's own unit."""

    def __init__(self, spec: SpecField) -> None:
        super().__init__(label=spec.label, required=False, help_text=_limits(spec))
        self.spec = spec
        self.unit = spec.unit

    def to_python(self, value: Any) -> object:
        if value in self.empty_values:
            return None
        comma = get_decimal_symbol(written.locale_of(self.locale)) == ","
        try:
            return read_value(self.spec, plain_number(str(value), comma))
        except CellError as error:
            raise ValidationError(f"{error.problem} {error.remedy}") from error
        except SpecError as error:
            raise ValidationError([f"{each.problem} {each.remedy}" for each in error.problems]) from error

    def prepare_value(self, value: Any) -> Any:
        return written.quantity(value, self.locale, 6) if isinstance(value, int | float) else value


class SpecGrid(forms.CharField):
    """A grid of a spec, as rows of text; kept with single spaces, or refused with what is wrong in which row."""

    widget = forms.Textarea(attrs={"rows": 7, "class": "grid-rows", "spellcheck": "false"})

    def __init__(self, spec: SpecField) -> None:
        super().__init__(label=spec.label, required=False, help_text=spec.help)
        self.spec = spec

    def to_python(self, value: Any) -> Any:
        try:
            return read_value(self.spec, str(value or "").strip())
        except SpecError as error:
            raise ValidationError([f"{each.problem} {each.remedy}" for each in error.problems]) from error


class SpecAnswer(forms.ChoiceField):
    """Yes, no, or not known."""

    def __init__(self, spec: SpecField) -> None:
        super().__init__(label=spec.label, required=False, help_text=spec.help, choices=ANSWERS)

    def clean(self, value: Any) -> bool | None:
        answer = super().clean(value)
        return None if answer == "" else answer == "yes"

    def prepare_value(self, value: Any) -> Any:
        return {True: "yes", False: "no", None: ""}.get(value, value)


class SpecWords(forms.MultipleChoiceField):
    """Any of a list of words; none chosen is not known."""

    widget = forms.CheckboxSelectMultiple

    def __init__(self, spec: SpecField, choices: Iterable[tuple[str, str]]) -> None:
        super().__init__(label=spec.label, required=False, help_text=spec.help, choices=list(choices))

    def clean(self, value: Any) -> list[str] | None:
        return super().clean(value) or None


class ComponentForm(ShopForm):
    """A component of one kind: the desk's fields and a field for each of the kind's spec."""

    mark_optional = False

    name = forms.CharField(label="Name", max_length=160, help_text="As it stands on quotes.")
    code = forms.CharField(label="Code", max_length=40, help_text="Short and your own; files find it by this.")
    list_price = AmountField(label="List price", required=False, help_text="Empty: landed cost and markup.")
    markup_rate = ShareField(
        label="Markup", low=Decimal(0), initial=Decimal("0.35"), help_text="On landed cost, without a list price."
    )
    tax_class = forms.ChoiceField(label="Tax class", choices=TaxClass.choices, initial=TaxClass.PARTS)
    shelf = forms.CharField(label="Shelf", max_length=40, required=False)
    keep_on_shelf = CountField(
        label="Keep on the shelf", places=3, initial=Decimal(0), help_text="Ordered again when fewer are free."
    )
    x_m = PlainMeasureField("m", label="Behind the front axle", required=False, help_text="Where it usually sits.")
    needs_serial = forms.BooleanField(
        label="Needs a serial number",
        required=False,
        help_text="Each unit is entered by its number, and no build is handed over without it.",
    )
    discontinued = forms.BooleanField(label="No longer made", required=False)
    notes = forms.CharField(
        label="Notes", required=False, widget=forms.Textarea(attrs={"rows": 2}), help_text="For the shop only."
    )

    OWN = ("name", "code", "discontinued")
    PRICE = ("list_price", "markup_rate", "tax_class")
    STORES = ("shelf", "keep_on_shelf", "needs_serial", "notes")

    def __init__(self, *args: Any, kind: str, component: Component | None = None, **kwargs: Any) -> None:
        super().__init__(*args, initial=_shown(component) if component else None, **kwargs)
        self.kind = kind
        if kind in BATCH_KINDS or KINDS[kind].unit != "piece":
            del self.fields["needs_serial"]
        self.says_itself = component is not None and component.needs_serial is not None
        self.initial["needs_serial"] = component.numbered if component else kind in SERIAL_KINDS
        self.specs = spec_fields(KINDS[kind].part_type)
        for spec in self.specs:
            field = _spec_field(spec, component)
            self.fields[SPEC + spec.name] = field
            if isinstance(field, ShopField):
                field.tell(self.shop)
        if component:
            self.fields["code"].help_text = "Files find it by this: change it with care."

    def groups(self) -> list[tuple[str, list[forms.BoundField]]]:
        own = [spec.name for spec in self.specs if spec.name not in BODY]
        parts = (
            ("What it is", self.OWN),
            ("Price", self.PRICE),
            ("Spec", [SPEC + name for name in own]),
            ("Size and mass", ["x_m", *(SPEC + name for name in BODY)]),
            ("Stores", self.STORES),
        )
        return [(words, [self[name] for name in names if name in self.fields]) for words, names in parts if names]

    def values(self) -> dict[str, Any]:
        """What `component_save` takes."""
        own = {name: value for name, value in self.cleaned_data.items() if not name.startswith(SPEC)}
        if not self.says_itself and own.get("needs_serial") == (self.kind in SERIAL_KINDS):
            own["needs_serial"] = None  # as is usual for its kind
        found = {spec.name: self.cleaned_data[SPEC + spec.name] for spec in self.specs}
        return {**own, "spec": {name: value for name, value in found.items() if value not in (None, "")}}


class OfferForm(ShopForm):
    """What a supplier asks and how long it takes."""

    mark_optional = False

    supplier = forms.ModelChoiceField(
        label="Supplier", queryset=Supplier.objects.all(), to_field_name="public_id", empty_label="Choose a supplier"
    )
    unit_cost = AmountField(label="Unit cost", help_text="In the supplier's currency.")
    priced_on = DayField(label="Priced on")
    freight_share = AmountField(label="Freight per unit", initial=Decimal(0))
    duty_rate = ShareField(
        label="Duty", low=Decimal(0), initial=Decimal(0), help_text="Settings say if freight counts."
    )
    lead_low_days = WholeField(label="At best", required=False, high=MOST_DAYS)
    lead_days = WholeField(label="Likely", required=False, high=MOST_DAYS, help_text="Calendar days to our door.")
    lead_high_days = WholeField(label="At worst", required=False, high=MOST_DAYS)
    supplier_code = forms.CharField(label="Supplier's code", max_length=60, required=False)
    least_quantity = CountField(label="Least quantity", places=3, low=LOWEST, initial=Decimal(1))
    pack_quantity = CountField(label="Sold in packs of", places=3, low=LOWEST, initial=Decimal(1))
    preferred = forms.BooleanField(
        label="Preferred: its cost and lead time count", required=False, help_text="The first offer always is."
    )

    GROUPS = (
        ("The price", ("supplier", "unit_cost", "priced_on", "freight_share", "duty_rate", "preferred")),
        ("Lead time, days", ("lead_low_days", "lead_days", "lead_high_days")),
        ("Ordering", ("supplier_code", "least_quantity", "pack_quantity")),
    )

    def __init__(self, *args: Any, offer: Offer | None = None, today: Any = None, **kwargs: Any) -> None:
        initial = {name: getattr(offer, name) for name in self.base_fields} if offer else {"priced_on": today}
        super().__init__(*args, initial=initial, **kwargs)
        cost = self.fields["unit_cost"]
        assert isinstance(cost, AmountField)  # noqa: S101 - for the type checker
        cost.unit = ""  # in which currency depends on the supplier
        if offer:
            self.fields["supplier"].disabled = True
            cost.currency = offer.supplier.currency
            cost.unit = written.currency_sign(cost.currency, self.shop.locale)

    def groups(self) -> list[tuple[str, list[forms.BoundField]]]:
        return [(words, [self[name] for name in names]) for words, names in self.GROUPS]


class ImportForm(forms.Form):
    """A file of components."""

    file = forms.FileField(
        label="CSV or XLSX file",
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,.xlsx"}),
        error_messages={"required": "Choose a file.", "empty": "The file is empty. Choose another."},
    )


def _limits(spec: SpecField) -> str:
    """Help and limits: "No load, per pack volt. 0.5 to 1000"."""
    limits = f"{spec.low:g} to {spec.high:g}" if spec.low is not None and spec.high is not None else ""
    return " ".join(part for part in (spec.help, limits) if part)


def _spec_field(spec: SpecField, component: Component | None) -> forms.Field:
    if spec.category in ("number", "whole"):
        return SpecFigure(spec)
    if spec.category == "yes_no":
        return SpecAnswer(spec)
    if spec.category == "list":
        present = list(component.spec.get(spec.name) or []) if component else []
        return SpecWords(spec, _words_of(spec, present))
    if spec.category == "grid":
        return SpecGrid(spec)
    if spec.category == "choice":
        choices = [NOT_KNOWN, *((word, word.replace("-", " ")) for word in spec.choices)]
        return forms.ChoiceField(label=spec.label, required=False, help_text=spec.help, choices=choices)
    return forms.CharField(label=spec.label, required=False, help_text=spec.help, max_length=120)


def _words_of(spec: SpecField, present: list[str]) -> list[tuple[str, str]]:
    """What a list may hold: its own words, else families or motors by code; what stands there already stays."""
    if spec.choices:
        return [(word, word.replace("-", " ")) for word in spec.choices]
    if spec.name == "families":
        known = list(DonorFamily.objects.values_list("code", "name"))
    else:
        known = list(Component.objects.filter(kind="motor").values_list("code", "name"))
    return known + [(code, code) for code in present if code not in dict(known)]


def _shown(component: Component) -> dict[str, Any]:
    own = {name: getattr(component, name) for name in ComponentForm.base_fields}
    return {**own, **{SPEC + name: value for name, value in component.spec.items()}}
