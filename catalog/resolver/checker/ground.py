"""What a check stands on: the catalog, the question and its worlds, cut into places and corners.

A *place* is one combination of set facts; a *corner* fixes every fact of which more is better. Thickness of
the deck and bearing of the datum, of which neither more nor less is better, are left to the caller.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from catalog.resolver.answer import Circumstance
from catalog.resolver.checker.bearings import Radii, Surroundings, Turning, stretch
from catalog.resolver.facts import Sector, Survey, Variant, World
from catalog.resolver.parts import Catalog, Hand, Plug, Run, WinchModel
from catalog.resolver.question import Question
from shared.intervals import Interval


@dataclass(frozen=True, slots=True)
class Place:
    variant: Variant
    plug_present: bool
    motor_mv: int
    control_mv: int

    @property
    def run(self) -> Run | None:
        return self.variant.run

    @property
    def plug_stays(self) -> bool:
        """Whether a plug is there that cannot be removed. One that can be changes nothing."""
        run = self.run
        return self.plug_present and run is not None and run.plug is not Plug.NONE and not run.plug_removable

    @property
    def key(self) -> PlaceKey:
        """Equal for places that no gate tells apart."""
        codes = tuple(sorted(one.code for one in self.variant.exceptions))
        return PlaceKey(
            self.run.code if self.run else None, codes, self.plug_stays, self.motor_mv, self.control_mv
        )


@dataclass(frozen=True, slots=True)
class PlaceKey:
    run: str | None
    exceptions: tuple[str, ...]
    plug_stays: bool
    motor_mv: int
    control_mv: int

    def __str__(self) -> str:
        plug = ", plug that stays" if self.plug_stays else ""
        rulings = f" ({', '.join(self.exceptions)})" if self.exceptions else ""
        return f"{self.run or 'no run'}{rulings}{plug} at {self.motor_mv // 1000}/{self.control_mv // 1000} V"


@dataclass(frozen=True, slots=True)
class Corner:
    """One value for each fact of which more is better; µm."""

    depth_um: int
    radii: Radii
    round: bool
    width_um: int
    height_um: int
    pad_um: int

    @classmethod
    def of_world(cls, world: World) -> Corner:
        opening = world.opening
        return cls(
            world.depth_below_deck_um,
            world.free_radius,
            opening.round,
            opening.width_um,
            opening.height_um,
            world.pad_diameter_um,
        )

    @classmethod
    def tightest(cls, survey: Survey) -> Corner:
        return cls._end(survey, 0)

    @classmethod
    def widest(cls, survey: Survey) -> Corner:
        return cls._end(survey, 1)

    @classmethod
    def _end(cls, survey: Survey, end: int) -> Corner:
        return cls(
            ends(survey.depth_below_deck)[end],
            tuple((sector.arc, ends(sector.radius)[end]) for sector in survey.sectors),
            survey.opening_round,
            ends(survey.opening_width)[end],
            ends(survey.opening_height)[end],
            ends(survey.pad_diameter)[end],
        )


def ends(interval: Interval) -> tuple[int, int]:
    """Both ends of an interval that a survey has closed."""
    if interval.low is None or interval.high is None:
        raise ValueError("A survey's intervals are closed.")
    return interval.low, interval.high


@dataclass(slots=True)
class Ground:
    catalog: Catalog
    question: Question
    survey: Survey
    _around: dict[tuple[str, Hand], Surroundings] = field(default_factory=dict)
    _turnings: dict[tuple[str, Hand, Radii, int], Turning] = field(default_factory=dict)

    @property
    def model(self) -> WinchModel:
        return self.survey.model

    @property
    def deck(self) -> tuple[int, int]:
        return ends(self.survey.deck_thickness)

    @property
    def datums(self) -> int:
        """Every bearing that the datum may have, as bits."""
        return stretch(self.survey.datum.start, self.survey.datum.length)

    def surroundings(self, drive: str, hand: Hand) -> Surroundings:
        key = (drive, hand)
        if key not in self._around:
            self._around[key] = Surroundings(self.catalog.drives[drive], hand)
        return self._around[key]

    def turning(self, drive: str, hand: Hand, radii: Radii, datums: int) -> Turning:
        key = (drive, hand, radii, datums)
        if key not in self._turnings:
            self._turnings[key] = Turning(self.surroundings(drive, hand), radii, datums)
        return self._turnings[key]

    def places(self) -> Iterator[Place]:
        for variant in self.survey.variants:
            for plug in self.survey.plugs:
                for motor, control in self.survey.voltages_mv:
                    yield Place(variant, plug, motor, control)

    def distinct_places(self) -> dict[PlaceKey, Place]:
        """One place for all that no gate tells apart."""
        return {place.key: place for place in self.places()}

    def place_of(self, circumstance: Circumstance) -> Place | None:
        """The place of the survey that a circumstance names."""
        named = (
            circumstance.run,
            tuple(sorted(circumstance.exceptions)),
            circumstance.plug_present,
            circumstance.motor_voltage_mv,
            circumstance.control_voltage_mv,
        )
        for place in self.places():
            key = place.key
            if named == (key.run, key.exceptions, place.plug_present, key.motor_mv, key.control_mv):
                return place
        return None

    def places_of(self, circumstances: Iterable[Circumstance]) -> list[Place]:
        """The places that are the survey's, of those named."""
        return [place for one in circumstances if (place := self.place_of(one)) is not None]


def place_in(world: World) -> Place:
    return Place(world.variant, world.plug_present, world.motor_voltage_mv, world.control_voltage_mv)


def world_faults(survey: Survey, world: World) -> Iterator[str]:
    """The facts in which a world is not one of the survey's."""
    opening = world.opening
    allowed = {
        "production run and exceptions": world.variant in survey.variants,
        "plug": world.plug_present in survey.plugs,
        "voltages": (world.motor_voltage_mv, world.control_voltage_mv) in survey.voltages_mv,
        "deck thickness": _within(survey.deck_thickness, world.deck_thickness_um),
        "depth below the deck": _within(survey.depth_below_deck, world.depth_below_deck_um),
        "pad diameter": _within(survey.pad_diameter, world.pad_diameter_um),
        "free radius": _radii_within(survey.sectors, world.free_radius),
        "datum": bool(stretch(survey.datum.start, survey.datum.length) >> world.datum_ddeg & 1),
        "kind of opening": opening.round == survey.opening_round,
        "opening": _within(survey.opening_width, opening.width_um)
        and _within(survey.opening_height, opening.height_um),
        "round opening": not opening.round or opening.width_um == opening.height_um,
    }
    return (name for name, right in allowed.items() if not right)


def _within(interval: Interval, value: int) -> bool:
    low, high = ends(interval)
    return low <= value <= high


def _radii_within(sectors: tuple[Sector, ...], radii: Radii) -> bool:
    return len(sectors) == len(radii) and all(
        sector.arc == arc and _within(sector.radius, radius)
        for sector, (arc, radius) in zip(sectors, radii, strict=True)
    )
