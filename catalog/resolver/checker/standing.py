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

from catalog.resolver.checker.bearings import Turning, first
from catalog.resolver.checker.figures import band, standing_figures
from catalog.resolver.checker.ground import Corner, Ground, Place, PlaceKey
from catalog.resolver.checker.values import all_pass, failing
from catalog.resolver.kits import Kit


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
        core = self.kit.core
        return self.ground.turning(core.drive, core.hand, corner.radii, self.ground.datums)

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
