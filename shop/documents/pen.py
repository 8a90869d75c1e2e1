"""How a document writes figures: in the locale, currency and units it was issued with."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from quoting import show
from shop import written
from shop.documents.spelling import spelled

MARK = re.compile(r"(?<=\d)[.,](?=\d)")  # decimal point or thousands comma as quoting.show writes them
UNIT_SPACE = re.compile(r"(?<=\d) (?!to\b)(?=[^\W\d_]|[%°])")
PLAIN = "en"
# What static/fonts/inter-*.woff2 draw of what locales write: Latin letters, figures, dashes, the euro, the minus.
DRAWN = re.compile("[\u0020-\u007e\u00a0-\u024f\u2010-\u2027\u202f\u20ac\u2212]*")
CODE_FIGURE = re.compile(r"(?<=[A-Z])(?=\d)")
HARD = "\u00a0"  # keeps a figure and its unit on one line


@dataclass(frozen=True)
class Pen:
    """Writes for one document. `units` us or metric, `currency` ISO 4217."""

    locale: str
    currency: str
    units: str

    # Money

    def money(self, amount: Decimal | None) -> str:
        """With the currency's sign; with its ISO 4217 code where our font has no such sign."""
        texts = (_set(written.money(amount, self.currency, locale)) for locale in (self.locale, PLAIN))
        return next((text for text in texts if drawable(text)), f"{self.currency}{HARD}{self.amount(amount)}")

    def amount(self, amount: Decimal | None) -> str:
        """Without it, for columns whose head names the currency."""
        return self._drawn(lambda locale: _set(written.money(amount, self.currency, locale, symbol=False)))

    # Dates

    def day(self, day: date | None) -> str:
        return self._drawn(lambda locale: written.day(day, locale)).replace(" ", HARD)

    def window(self, first: date | None, last: date | None) -> str:
        return self._drawn(lambda locale: written.window(first, last, locale))

    # Numbers

    def quantity(self, quantity: Decimal, unit: str) -> str:
        """ "240", "6.5 h": pieces are only counted."""
        number = self._drawn(lambda locale: written.quantity(quantity, locale))
        return number if unit in {"", "piece"} else f"{number}{HARD}{unit}"

    def percent(self, rate: Decimal | float) -> str:
        return self._drawn(lambda locale: written.percent(rate, locale))

    def share(self, share: float) -> str:
        """A share to the whole per cent."""
        return self.figure(show.show_percent(share))

    # Measures

    def distance(self, km: float | None) -> str:
        return self.figure(show.show_distance(km, self.units))

    def distances(self, low_km: float, high_km: float) -> str:
        """A band written once with its unit: "38 to 46 mi"."""
        return self._band(show.show_distance, low_km, high_km)

    def speed(self, kmh: float | None) -> str:
        return self.figure(show.show_speed(kmh, self.units))

    def mass(self, kg: float | None) -> str:
        return self.figure(show.show_mass(kg, self.units))

    def temperature(self, degc: float) -> str:
        return self.figure(show.show_temperature(degc, self.units))

    def energy(self, energy_wh: float | None) -> str:
        return self.figure(show.show_energy(energy_wh))

    def volts(self, volts: float | None) -> str:
        return self.figure(show.show_volts(volts))

    def hours(self, hours: float) -> str:
        return self.figure(show.show_hours(hours))

    # Words

    def figure(self, text: str) -> str:
        """An American-written figure in the locale's marks, its unit held to it."""
        return UNIT_SPACE.sub(HARD, self.marks(text))

    def marks(self, text: str) -> str:
        """The decimal points and thousands commas of a text as the locale writes them."""
        symbols = written.locale_of(self.locale).number_symbols["latn"]
        exchanged = {".": symbols["decimal"], ",": symbols["group"].translate(written.SPACES)}
        return MARK.sub(lambda match: exchanged[match.group()], text)

    def said(self, text: str) -> str:
        """A sentence of the engine: marks and spelling of the locale."""
        return spelled(self.marks(text), self.locale)

    def own(self, text: str) -> str:
        """Our own words in the locale's spelling."""
        return spelled(text, self.locale)

    def _drawn(self, write: Callable[[str], str]) -> str:
        """As the locale writes it, or as plain English does where our font lacks the locale's script."""
        text = write(self.locale)
        return text if drawable(text) else write(PLAIN)

    def _band(self, one: Callable[[float, str], str], low: float, high: float) -> str:
        first, last = one(low, self.units), one(high, self.units)
        same_unit = first.rpartition(" ")[2] == last.rpartition(" ")[2]
        return self.figure(f"{first.rpartition(' ')[0] if same_unit else first} to {last}")


def drawable(text: str) -> bool:
    """Whether our own font has every sign of a text; another font of the machine would make another document."""
    return DRAWN.fullmatch(text) is not None


def _set(amount: str) -> str:
    """A real minus sign, as wide as the figures around it; and a space after a code such as KWD (CLDR's rule)."""
    return CODE_FIGURE.sub(HARD, amount.replace("-", "\u2212"))


def mid_sentence(name: str) -> str:
    """A name inside a sentence: "Hub motor" becomes "hub motor", "BMS 20s" stays."""
    return name[0].lower() + name[1:] if len(name) > 1 and name[1].islower() else name
