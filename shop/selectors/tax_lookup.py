"""From an address to the authorities that tax there, by ZIP+4 or ZIP as the boundary files say."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Q, QuerySet

from quoting.price import in_force
from shop.models import TaxAuthority, TaxBoundary, TaxClass, TaxPlace
from shop.selectors.tax import engine_rates

ZIP = re.compile(r"(?<!\d)(\d{5})(?:-(\d{4}))?(?!\d)")
MOST_SHOWN = 12


@dataclass(frozen=True, kw_only=True)
class Candidate:
    """One stack of authorities an address may lie in. `rates` the combined rate of each class on the day, None where
    one is not known; `place` ours with the same authorities, None when there is none yet; `missing` codes without
    rates.
    """

    codes: tuple[str, ...]
    authorities: tuple[TaxAuthority, ...]
    missing: tuple[str, ...]
    rates: tuple[tuple[str, Decimal | None], ...]
    place: TaxPlace | None

    @property
    def parts_rate(self) -> Decimal | None:
        return dict(self.rates).get(TaxClass.PARTS)


@dataclass(frozen=True, kw_only=True)
class LookUp:
    """What an address gives: candidates, the lowest rate first. `by` says what was found: ZIP+4, ZIP, or nothing."""

    zip5: str
    plus4: str
    day: date
    by: str
    candidates: tuple[Candidate, ...]

    @property
    def is_sure(self) -> bool:
        """One stack, all of its rates known."""
        return len(self.candidates) == 1 and not self.candidates[0].missing


def zip_of(address: str) -> tuple[str, str]:
    """The last ZIP of an address and its extension; both empty without one."""
    found = ZIP.findall(address)
    return found[-1] if found else ("", "")


def tax_lookup(address: str, day: date) -> LookUp:
    """Authorities at an address on a day: by its ZIP+4 where that is known, else by its ZIP. Five queries at most.

    A ZIP may cover several stacks: then all are candidates and a person chooses. Where a ZIP can't be resolved further
    the lowest combined rate may be used (Kansas 79-3668, after the Streamlined agreement), so it stands first.
    """
    zip5, plus4 = zip_of(address)
    if not zip5:
        return LookUp(zip5="", plus4="", day=day, by="", candidates=())
    standing = TaxBoundary.objects.filter(Q(end__isnull=True) | Q(end__gte=day), begin__lte=day)
    here = standing.filter(zip_low__lte=zip5, zip_high__gte=zip5)
    exact = here.filter(kind=TaxBoundary.Kind.PLUS_4, plus_low__lte=plus4, plus_high__gte=plus4) if plus4 else None
    for by, rows in (("ZIP+4", exact), ("ZIP", here.filter(kind=TaxBoundary.Kind.ZIP)), ("ZIP", here)):
        stacks = _stacks(rows) if rows is not None else []
        if stacks:
            return LookUp(zip5=zip5, plus4=plus4, day=day, by=by, candidates=_candidates(stacks, day))
    return LookUp(zip5=zip5, plus4=plus4, day=day, by="", candidates=())


def _stacks(rows: QuerySet[TaxBoundary]) -> list[tuple[str, ...]]:
    return list(dict.fromkeys(tuple(codes) for codes in rows.order_by("pk").values_list("codes", flat=True)))


def _candidates(stacks: Sequence[tuple[str, ...]], day: date) -> tuple[Candidate, ...]:
    wanted = {code for stack in stacks for code in stack}
    found = TaxAuthority.objects.filter(code__in=wanted).prefetch_related("rates")
    known = {authority.code: authority for authority in found}
    places = {
        frozenset(layer.authority.code for layer in place.layers.all()): place
        for place in TaxPlace.objects.filter(authorities__in=found).distinct().prefetch_related("layers__authority")
    }
    made = []
    for codes in stacks:
        authorities = tuple(known[code] for code in codes if code in known)
        missing = tuple(code for code in codes if code not in known)
        place = None if missing else places.get(frozenset(codes))
        rates = tuple((name, None if missing else _combined(authorities, name, day)) for name in TaxClass.values)
        made.append(Candidate(codes=codes, authorities=authorities, missing=missing, rates=rates, place=place))
    made.sort(key=lambda each: (each.parts_rate is None, each.parts_rate or Decimal(0), each.codes))
    return tuple(made[:MOST_SHOWN])


def _combined(authorities: Sequence[TaxAuthority], tax_class: str, day: date) -> Decimal | None:
    """The sum of the rates on a day; None as soon as one authority has none for the class."""
    whole = Decimal(0)
    for authority in authorities:
        rates = [
            rate for rate in engine_rates(authority.rates.all()) if rate.tax_class == tax_class and in_force(rate, day)
        ]
        if not rates:
            return None
        whole += rates[0].rate
    return whole
