"""Where a kit passes: in which places, on which decks, at which bearings of the datum.

A kit passes in a world exactly when its standing figures pass there, the deck lies in its band, and some
clocking leaves the motor free. The three do not meddle with each other, so "in every world" and "in some
world" are asked of each for itself: of the facts of which more is better, at the tightest corner or the
widest.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from catalog.resolver.checker.bearings import Freedom, Radii, clockings, first, members, turned
from catalog.resolver.checker.figures import band, standing_figures
from catalog.resolver.checker.ground import Corner, Ground, Place, PlaceKey
from catalog.resolver.checker.values import all_pass, failing
from catalog.resolver.kits import Core, Kit


@dataclass(frozen=True)
class Turning:
    """How a core's drive may be turned under certain radii, for certain bearings of the datum."""

    ground: Ground
    core: Core
    radii: Radii
    datums: int

    @cached_property
    def clockings(self) -> int:
        return clockings(self.ground.catalog.drives[self.core.drive])

    @cached_property
    def _freedom(self) -> Freedom:
        motor = 0
        for clocking in members(self.clockings):
            motor |= turned(self.datums, clocking)
        return self.ground.surroundings(self.core.drive, self.core.hand).freedom(motor, self.radii)

    def free_at(self, clocking: int) -> int:
        """The bearings of the datum at which this clocking may be claimed free."""
        return turned(self._freedom.free, -clocking) & self.datums

    def not_free_at(self, clocking: int) -> int:
        return turned(self._freedom.not_free, -clocking) & self.datums

    @cached_property
    def served(self) -> int:
        """The bearings of the datum at which some clocking is free."""
        found = 0
        for clocking in members(self.clockings):
            found |= self.free_at(clocking)
        return found

    @cached_property
    def not_served(self) -> int:
        """The bearings of the datum at which it may be claimed that no clocking is free."""
        found = self.datums
        for clocking in members(self.clockings):
            found &= self.not_free_at(clocking)
        return found


@dataclass(frozen=True)
class Standing:
    """A kit in the survey's worlds. Its parts are taken to exist in their roles (``bill.kit_faults``)."""

    ground: Ground
    kit: Kit

    @cached_property
    def tight(self) -> Turning:
        return self._turning(Corner.tightest(self.ground.survey))

    @cached_property
    def wide(self) -> Turning:
        return self._turning(Corner.widest(self.ground.survey))

    def _turning(self, corner: Corner) -> Turning:
        return Turning(self.ground, self.kit.core, corner.radii, self.ground.datums)

    def shortfalls(self) -> Iterator[str]:
        """Why the kit is not sure; nothing if some setting passes in every world."""
        corner = Corner.tightest(self.ground.survey)
        for key, place in self.ground.distinct_places().items():
            fails = failing(standing_figures(self.ground, self.kit, place, corner))
            if fails:
                yield f"in {key} it fails {', '.join(fails)}"
            yield from self._short_decks(key, place)
        unserved = self.ground.datums & ~self.tight.served
        if unserved:
            yield f"with the datum at {first(unserved)} no clocking leaves the motor free"

    def _short_decks(self, key: PlaceKey, place: Place) -> Iterator[str]:
        engages, deck = band(self.ground, self.kit, place), self.ground.deck
        if place.run is not None and (engages is None or deck[0] < engages[0] or deck[1] > engages[1]):
            yield f"in {key} its shaft does not engage on every deck of the survey"

    def may_fall_short(self) -> bool:
        """Whether it may be claimed that the kit fails in some world, whatever its setting."""
        corner = Corner.tightest(self.ground.survey)
        if self.tight.not_served:
            return True
        return any(
            any(one.may_fail for one in standing_figures(self.ground, self.kit, place, corner))
            or any(self._short_decks(key, place))
            for key, place in self.ground.distinct_places().items()
        )

    def possible_in(self) -> dict[PlaceKey, Place]:
        """The places in which the kit passes in some world."""
        if not self.wide.served:
            return {}
        corner = Corner.widest(self.ground.survey)
        return {
            key: place
            for key, place in self.ground.distinct_places().items()
            if self._meets_deck(place) and all_pass(standing_figures(self.ground, self.kit, place, corner))
        }

    def may_fail_in(self, place: Place) -> bool:
        """Whether it may be claimed that the kit passes in no world of this place."""
        if not self._meets_deck(place) or self.wide.not_served == self.ground.datums:
            return True
        corner = Corner.widest(self.ground.survey)
        return any(one.may_fail for one in standing_figures(self.ground, self.kit, place, corner))

    def _meets_deck(self, place: Place) -> bool:
        engages, deck = band(self.ground, self.kit, place), self.ground.deck
        return engages is not None and engages[0] <= deck[1] and deck[0] <= engages[1]
