"""What the Counter shows of a draft: rows paired with the figures worked out from them, and a form for each change."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from django.contrib.auth.models import AnonymousUser, User
from django.utils.functional import cached_property

from quoting import QuoteRequest, QuoteResult, QuotingError, quote
from quoting.parts import KINDS
from quoting.request import Donor, Option
from quoting.result import OptionResult
from quoting.vin import VinCheck, check_vin
from shop.charts import BarChart, LineChart, axle_chart, power_chart, range_chart, voltage_chart
from shop.forms.base import ShopForm
from shop.forms.people import CustomerForm, DonorForm
from shop.forms.quotes import ExtraForm, LabelForm, NewStepForm, NoteForm, PackForm, PriceForm, SaleForm, WishesForm
from shop.models import OPTION_KEYS, ChangeOrder, Job, OptionExtra, Quote, QuoteOption, QuoteVersion, Shop, TaxSourcing
from shop.permissions import OWNER, roles_of
from shop.readings import OptionReadings, option_readings
from shop.selectors.change_page import ChangeEffect, effect_of
from shop.selectors.odds import simulated
from shop.selectors.requests import options_with_lines, quote_request
from shop.selectors.running import change_of
from shop.selectors.shop import the_shop
from shop.selectors.tax_lookup import LookUp, tax_lookup, zip_of
from shop.views.quotes.findings import FindingView, finding_views
from shop.views.quotes.lines import PartView, StepView, part_views, step_views

Typed = Mapping[str, ShopForm]
Charts = dict[str, LineChart | BarChart | None]


@dataclass(frozen=True)
class Tab:
    """One option beside the others: what it comes to, and how it stands."""

    key: str
    label: str
    result: OptionResult | None
    current: bool

    @property
    def stops(self) -> int:
        return len(self.result.at_level("stop")) if self.result else 0


@dataclass
class CounterPage:
    """The Counter for one option of a draft. `typed` are forms that were sent and refused, by prefix."""

    shop: Shop
    user: User | AnonymousUser
    version: QuoteVersion
    key: str
    typed: Typed = field(default_factory=dict)
    problem: str = ""

    @cached_property
    def quote(self) -> Quote:
        return self.version.quote

    @cached_property
    def rows(self) -> list[QuoteOption]:
        return list(options_with_lines(self.version))

    @cached_property
    def option(self) -> QuoteOption:
        """The option shown: the one asked for, else the first."""
        return next((row for row in self.rows if row.key == self.key), self.rows[0])

    @cached_property
    def request(self) -> QuoteRequest:
        return quote_request(self.version, shop=self.shop, rows=self.rows)

    @cached_property
    def result(self) -> QuoteResult | None:
        """None when the request cannot be worked on; `problem` then says why."""
        try:
            return quote(self.request, simulated(), sealed=False)
        except QuotingError as error:
            self.problem = str(error)
            return None

    @cached_property
    def change(self) -> ChangeOrder | None:
        """The change order this draft stands for; None for a quote of its own."""
        return change_of(self.version)

    @cached_property
    def effect(self) -> ChangeEffect | None:
        """What it changes on its running build; None while the draft can't be worked out, or is none."""
        if self.change is None or self.result is None:
            return None
        return effect_of(self.change, request=self.request, result=self.shown)

    @cached_property
    def at_address(self) -> LookUp | None:
        """Who taxes at the customer's address, where a state's ZIP codes were read; None when it says nothing new."""
        customer = self.quote.customer
        if customer is None or not zip_of(customer.address)[0]:
            return None
        found = tax_lookup(customer.address, self.request.day)
        known = [each.place for each in found.candidates if each.place is not None]
        here = self.version.tax_place
        return found if found.candidates and not (found.is_sure and known == [here]) else None

    @property
    def taxed_where_delivered(self) -> bool:
        """The shop taxes what leaves by carrier at its destination, and this does."""
        leaves = self.version.by_carrier or self.quote.job == Job.PARTS_KIT
        return leaves and self.shop.tax_sourcing == TaxSourcing.DELIVERY

    @cached_property
    def shown(self) -> OptionResult | None:
        options = self.result.options if self.result else ()
        return next((item for item in options if item.key == self.option.key), None)

    @cached_property
    def asked(self) -> Option:
        return next(item for item in self.request.options if item.key == self.option.key)

    @cached_property
    def tabs(self) -> tuple[Tab, ...]:
        results = {item.key: item for item in self.result.options} if self.result else {}
        return tuple(Tab(row.key, row.label, results.get(row.key), row.key == self.option.key) for row in self.rows)

    @property
    def settled(self) -> bool:
        """Customer, bike and kind of job stay as they are once a version was offered."""
        return self.version.number > 1

    @property
    def over_budget(self) -> Decimal | None:
        """By how much the price is above the budget; negative within it, None without one."""
        budget = self.version.budget
        return self.shown.price.total - budget if self.shown and budget is not None else None

    @property
    def may_add_option(self) -> bool:
        return len(self.rows) < len(OPTION_KEYS) and self.change is None

    @property
    def may_remove_option(self) -> bool:
        return len(self.rows) > 1

    @cached_property
    def readings(self) -> OptionReadings | None:
        return option_readings(self.shown, self.request.wishes, self.shop.units) if self.shown else None

    # Lines with their forms

    @cached_property
    def parts(self) -> tuple[PartView, ...]:
        return part_views(self.option, self.shown, self.shop, self.typed)

    @cached_property
    def steps(self) -> tuple[StepView, ...]:
        return step_views(self.option, self.shown, self.shop, self.typed)

    @property
    def has_learned(self) -> bool:
        """Whether finished builds shifted any estimate that is shown."""
        return any(step.row.learned_builds for step in self.steps)

    @cached_property
    def extras(self) -> tuple[OptionExtra, ...]:
        return tuple(self.option.extras.all())

    @cached_property
    def kinds_to_add(self) -> tuple[tuple[str, str, bool], ...]:
        """Kinds a part may still be added of, with their words and whether one is on the option already."""
        present = {part.row.component.kind for part in self.parts}
        return tuple(
            (kind.code, kind.label, kind.code in present)
            for kind in KINDS.values()
            if kind.several or kind.code not in present
        )

    @cached_property
    def findings(self) -> tuple[FindingView, ...]:
        return finding_views(self.option, self.shown, self.shop, self.typed)

    @property
    def open_findings(self) -> tuple[FindingView, ...]:
        """Stops, and checks nobody has decided."""
        return tuple(item for item in self.findings if item.is_open)

    @property
    def settled_findings(self) -> tuple[FindingView, ...]:
        return tuple(item for item in self.findings if not item.is_open)

    @cached_property
    def stops(self) -> int:
        return sum(item.finding.level == "stop" for item in self.findings)

    @cached_property
    def open_checks(self) -> int:
        return sum(item.undecided for item in self.findings)

    @cached_property
    def vin(self) -> VinCheck | None:
        donor = self.quote.donor
        return check_vin(donor.vin, year=donor.year, market=donor.market) if donor and donor.vin else None

    # Charts

    @cached_property
    def charts(self) -> Charts:
        return option_charts(self.shown, self.request.donor, self.shop.units) if self.shown else {}

    # Forms of the page itself

    @property
    def new_step(self) -> ShopForm:
        return self.forms["new-step"]

    @cached_property
    def forms(self) -> dict[str, ShopForm]:
        """Every form that is not a line's, by prefix; those that were refused keep what was typed."""
        version, option, shop = self.version, self.option, self.shop
        bays = [bay.name for bay in self.request.donor.bays] if self.request.donor else []
        made: dict[str, ShopForm] = {
            "sale": SaleForm(
                shop=shop, prefix="sale", initial={"job": self.quote.job, "tax_place": version.tax_place_id}
            ),
            "wishes": WishesForm(shop=shop, prefix="wishes", initial=values_of(version, WishesForm)),
            "note": NoteForm(shop=shop, prefix="note", initial={"note": version.note}),
            "label": LabelForm(shop=shop, prefix="label", initial={"label": option.label}),
            "pack": PackForm(shop=shop, prefix="pack", initial=values_of(option, PackForm), bays=bays),
            "price": PriceForm(
                shop=shop, prefix="price", initial=_price_values(option), limit=discount_limit(self.user, shop)
            ),
            "new-step": NewStepForm(shop=shop, prefix="new-step"),
            "extra": ExtraForm(shop=shop, prefix="extra"),
            "customer": CustomerForm(shop=shop, prefix="customer"),
            "donor": DonorForm(shop=shop, prefix="donor"),
        }
        return {**made, **self.typed}


def option_charts(shown: OptionResult, donor: Donor | None, units: str) -> Charts:
    """An option's drawings by name; None where the figures for one are missing."""
    return {
        "range": range_chart(shown.ride, units) if shown.ride else None,
        "power": power_chart(shown.ride, units) if shown.ride else None,
        "axles": axle_chart(shown.weight, donor, units) if shown.weight else None,
        "voltage": voltage_chart(shown.pack) if shown.pack else None,
    }


def values_of(row: object, form: type[ShopForm]) -> dict[str, object]:
    """What a form shows of a row whose fields it carries by name."""
    return {name: getattr(row, name) for name in form.base_fields}


def _price_values(option: QuoteOption) -> dict[str, object]:
    """Zero amounts are shown as empty fields."""
    values = values_of(option, PriceForm)
    return {name: None if isinstance(value, Decimal) and not value else value for name, value in values.items()}


def discount_limit(user: User | AnonymousUser, shop: Shop) -> Decimal | None:
    """The greatest share this person may give; None for the owner."""
    return None if OWNER in roles_of(user) else shop.discount_limit


def counter_page(
    user: User | AnonymousUser, version: QuoteVersion, key: str, typed: Typed | None = None, shop: Shop | None = None
) -> CounterPage:
    return CounterPage(shop=shop or the_shop(), user=user, version=version, key=key, typed=typed or {})
