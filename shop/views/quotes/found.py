"""What the finder's page shows: each set as a row to read, what a wish costs, and why there is nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from quoting import show
from quoting.finder import (
    BuildSet,
    Counts,
    FinderRequest,
    FinderResult,
    Miss,
    Relaxation,
    wished,
    wishes_made,
)
from quoting.parts import KINDS
from quoting.request import PartLine
from quoting.result import Finding, ProfileRange
from quoting.rules import all_rules
from shop.models import OPTION_KEYS, Component, QuoteVersion, Shop
from shop.selectors.running import change_of

WISH_WORDS: Mapping[str, str] = {
    "town_km": "Town range",
    "back_road_km": "Back road range",
    "highway_km": "Highway range",
    "held_kmh": "Held speed",
    "top_kmh": "Top speed",
    "hill_percent": "Hill",
    "overnight_h": "Charge overnight",
    "budget": "Budget",
    "need_by_days": "Day needed",
}
MAIN_KINDS = ("motor", "controller", "cell", "module", "charger")


@dataclass(frozen=True)
class Place:
    """An option a set may go to: its letter, how many parts would be replaced, and whether it is still to be made."""

    key: str
    parts: int
    new: bool


@dataclass(frozen=True)
class FoundSet:
    """One row. `to_order` parts that have to be ordered; `checks` what a person would have to decide."""

    build: BuildSet
    name: str
    parts: tuple[PartLine, ...]
    ranges: tuple[ProfileRange, ...]
    due: Decimal
    over: tuple[str, ...]
    to_order: tuple[str, ...]
    checks: tuple[Finding, ...]
    sent: str
    held: str
    weight: str
    energy: str
    lead: str = ""

    @property
    def window(self) -> tuple[date | None, date | None]:
        promise = self.build.result.promise
        return (promise.finish_from, promise.finish_to) if promise else (None, None)


@dataclass(frozen=True)
class FoundPage:
    """The page. `problem` why no search was made; `said` why a set was not put on."""

    version: QuoteVersion
    like: str
    shop: Shop
    problem: str = ""
    said: str = ""
    wishes: tuple[str, ...] = ()
    sets: tuple[FoundSet, ...] = ()
    relaxed: tuple[FoundSet, ...] = ()
    nearest: tuple[FoundSet, ...] = ()
    no_help: tuple[str, ...] = ()
    more: bool = False
    counts: Counts | None = None
    left_out: tuple[str, ...] = ()
    why_none: tuple[str, ...] = ()
    places: tuple[Place, ...] = ()
    kept: tuple[str, ...] = field(default_factory=tuple)

    @property
    def rows(self) -> tuple[FoundSet, ...]:
        """What is listed: sets that meet every wish, else what giving way on one opens, else what comes nearest."""
        return self.sets or self.relaxed or self.nearest


def found_page(
    version: QuoteVersion, like: str, shop: Shop, question: FinderRequest, result: FinderResult, said: str = ""
) -> FoundPage:
    """Rows of what was found, in the shop's units."""
    teller = _Teller(shop, question)
    relaxed = teller.relaxed(result.relaxations)
    return FoundPage(
        version=version,
        like=like,
        shop=shop,
        said=said,
        wishes=teller.wishes(),
        sets=tuple(teller.row(build) for build in result.sets),
        relaxed=relaxed,
        nearest=tuple(teller.row(build) for build in result.nearest),
        no_help=tuple(WISH_WORDS[each.wish] for each in result.relaxations if each.cheapest is None) if relaxed else (),
        more=result.more,
        counts=result.counts,
        left_out=tuple(f"{code}: {why}" for code, why in result.left_out),
        why_none=_why_none(result),
        places=places_of(version),
        kept=tuple(line.name for line in question.frame.parts),
    )


def places_of(version: QuoteVersion) -> tuple[Place, ...]:
    """The options there are, and the next letter where one more may be made."""
    counts = {option.key: option.parts.count() for option in version.options.prefetch_related("parts")}
    places = [Place(key, count, new=False) for key, count in sorted(counts.items())]
    free = [key for key in OPTION_KEYS if key not in counts]
    if free and change_of(version) is None:
        places.append(Place(free[0], 0, new=True))
    return tuple(places)


def _why_none(result: FinderResult) -> tuple[str, ...]:
    titles = {rule.id: rule.title for rule in all_rules()} | {"unplaced": "Pack box or a part has no place in the bays"}
    return tuple(titles.get(rule, rule) for rule, _ in result.why_none)


class _Teller:
    """Words of sets in the shop's units; components are read once."""

    def __init__(self, shop: Shop, question: FinderRequest) -> None:
        self.units = shop.units
        self.question = question
        self.asked = question.request.wishes
        self.ids = dict(Component.objects.values_list("code", "public_id"))

    def wishes(self) -> tuple[str, ...]:
        """Each wish with its figure."""
        return tuple(
            f"{WISH_WORDS[name]} {self._figure(name, wished(self.asked, name))}" for name in wishes_made(self.asked)
        )

    def relaxed(self, relaxations: tuple[Relaxation, ...]) -> tuple[FoundSet, ...]:
        """The sets giving way on one wish opens, each once, cheapest first, with the words that say which."""
        rows: dict[tuple[object, ...], FoundSet] = {}
        for each in relaxations:
            for build, word in ((each.cheapest, "Cheapest"), (each.best, "Nearest")):
                if build is None:
                    continue
                key = (build.codes, build.store, build.series, build.parallel)
                lead = f"{word} that meets all but {WISH_WORDS[each.wish].lower()}"
                if key not in rows:
                    rows[key] = self.row(build, lead)
        return tuple(sorted(rows.values(), key=lambda row: row.due))

    def row(self, build: BuildSet, lead: str = "") -> FoundSet:
        result = build.result
        promised = result.promise.parts if result.promise else ()
        lines = build.option.parts
        return FoundSet(
            build=build,
            name=self._name(build),
            parts=tuple(line for line in lines if line not in self.question.frame.parts),
            ranges=result.ride.profiles if result.ride else (),
            due=result.price.due,
            over=tuple(self._missed(miss) for miss in build.misses),
            to_order=tuple(dict.fromkeys(part.name for part in promised if part.origin != "stock")),
            checks=result.at_level("check"),
            sent=" ".join(f"{self.ids[line.code]}:{line.quantity.normalize():f}:{line.conductors}" for line in lines),
            held=show.show_speed(build.held_kmh, self.units),
            weight=show.show_mass(build.weight_kg, self.units),
            energy=show.show_energy(result.pack.energy_wh if result.pack else None),
            lead=lead,
        )

    def _name(self, build: BuildSet) -> str:
        """Motor and energy, as an option is named."""
        motor = next((line.name for line in build.option.parts if line.kind == "motor"), KINDS["motor"].label)
        energy = show.show_energy(build.result.pack.energy_wh if build.result.pack else None)
        return f"{motor[:1].upper()}{motor[1:]}, {energy}"

    def _missed(self, miss: Miss) -> str:
        words = WISH_WORDS[miss.wish]
        if miss.not_held:
            return f"{words}: cannot hold that ride"
        target = self._figure(miss.wish, miss.wished)
        if miss.reached is None:
            return f"{words}: not known, {target} wished"
        off = self._figure(miss.wish, abs(miss.reached - miss.wished))
        return f"{words}: {self._figure(miss.wish, miss.reached)}, {target} wished, {off} off"

    def _figure(self, name: str, value: float | None) -> str:
        if value is None:
            return "not known"
        if name.endswith("_km"):
            return show.show_distance(value, self.units)
        if name.endswith("_kmh"):
            return show.show_speed(value, self.units)
        if name == "hill_percent":
            return f"{value:.1f} %"
        if name == "overnight_h":
            return show.show_hours(value)
        if name == "need_by_days":
            return f"{value:.0f} days"
        return f"{self.question.request.currency} {value:,.0f}"
