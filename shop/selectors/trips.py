"""One trip on one option of a quote, and what public test cycles would give."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from quoting import QuoteRequest
from quoting.pack import pack_figures
from quoting.request import Option
from quoting.result import PackFigures, RideFigures, WeightFigures
from quoting.ride import StandardRow, TripFigures, ride_figures, standard_ranges, standard_rows, trip
from quoting.setup import Setup, setup_of
from quoting.weight import weight_figures


@dataclass(frozen=True, kw_only=True)
class TripAsked:
    """A trip: distance in all, of it highway and town [km], the highway's steady speed [km/h] or None for our profile,
    height gained [m], whether it is cold, and whether the bike is charged at the far end."""

    distance_km: float
    highway_km: float = 0.0
    highway_kmh: float | None = None
    town_km: float = 0.0
    climb_m: float = 0.0
    cold: bool = False
    charged_there: bool = True


@dataclass(frozen=True, kw_only=True)
class TripAnswer:
    """The way there, and there and back where nothing is charged at the far end; what else to say about it."""

    there: TripFigures
    back: TripFigures | None
    remarks: tuple[str, ...] = ()


class TripBike:
    """One option of a request, worked out as far as a trip needs it."""

    def __init__(self, request: QuoteRequest, option: Option) -> None:
        self.option = option
        self.setup: Setup = setup_of(request, option)

    @cached_property
    def pack(self) -> PackFigures | None:
        return pack_figures(self.setup)

    @cached_property
    def weight(self) -> WeightFigures | None:
        return weight_figures(self.setup, self.pack)

    @cached_property
    def ride(self) -> RideFigures | None:
        return ride_figures(self.setup, self.pack, self.weight)

    @property
    def missing(self) -> tuple[str, ...]:
        """What would be needed to work a trip out."""
        return self.ride.missing if self.ride else ("a bike, a motor, a controller and a pack",)

    @cached_property
    def standard(self) -> tuple[StandardRow, ...]:
        """Ranges on public cycles; empty when range itself is not known."""
        ranges = standard_ranges(self.setup, self.pack, self.weight)
        return standard_rows(ranges, self.ride) if ranges and self.ride else ()

    def answer(self, asked: TripAsked) -> TripAnswer | None:
        """Does it get there, and back. None when range is not known. Raises RequestError by field."""
        there = self._trip(asked, 1.0)
        if there is None:
            return None
        return TripAnswer(
            there=there, back=None if asked.charged_there else self._trip(asked, 2.0), remarks=self._remarks(asked)
        )

    def _trip(self, asked: TripAsked, times: float) -> TripFigures | None:
        """The way `times` over. The height is climbed once: what the way down gives back is not counted."""
        return trip(
            self.setup,
            self.pack,
            self.weight,
            distance_km=times * asked.distance_km,
            highway_km=times * asked.highway_km,
            town_km=times * asked.town_km,
            climb_m=asked.climb_m,
            cold=asked.cold,
            highway_kmh=asked.highway_kmh,
        )

    def _remarks(self, asked: TripAsked) -> tuple[str, ...]:
        ride, remarks = self.ride, []
        if ride and asked.highway_km:
            highway = next((item for item in ride.profiles if item.profile == "highway"), None)
            kmh = asked.highway_kmh
            if kmh is None and highway is not None and not highway.possible:
                remarks.append(f"It does not hold our highway profile: {highway.limit}.")
            if kmh is not None and ride.top_kmh is not None and kmh > ride.top_kmh:
                remarks.append(f"It does not reach that speed: {ride.top_limit}.")
            elif kmh is not None and ride.held_kmh is not None and kmh > ride.held_kmh:
                remarks.append(f"It does not hold that speed for good: {ride.held_limit}.")
        return tuple(remarks)


def trip_bikes(request: QuoteRequest) -> dict[str, TripBike]:
    """Every option by its key. Raises RequestError where a part's spec cannot be read."""
    return {option.key: TripBike(request, option) for option in request.options}
