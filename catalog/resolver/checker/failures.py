"""The proof of a no: for every place and every drive in every hand, checks of which each kit fails one.

Checks read few parts each, so that kits are not tried one by one: a slot keeps the parts that survive the
named checks, and only where every slot keeps one are combinations asked for (the length reads three slots
together, a ruling any).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import product

from catalog.resolver.answer import FailureRow
from catalog.resolver.checker.bill import fills, named, stacks, wished
from catalog.resolver.checker.figures import (
    depth_figure,
    entry_figures,
    footprint_figure,
    hands,
    shifted,
    taken_um,
    takes_base,
    winch_figures,
    window,
)
from catalog.resolver.checker.ground import Corner, Ground, Place, PlaceKey
from catalog.resolver.checker.power import (
    breaker_figures,
    controller_figures,
    drive_figures,
    switch_figures,
    switches_wanted,
)
from catalog.resolver.checker.rulings import part_figures, ruled_skus, ruling_figures, run_figures
from catalog.resolver.checker.values import Figure, failing, some_named_fails
from catalog.resolver.kits import Core, Fill, Kit, Stack
from catalog.resolver.parts import Adapter, Drive, DriveHand, Hand, Power, Shaft

RULINGS = ("era.exception-forbid", "era.exception-require")
FREE_RADIUS = "space.free-radius"
TOO_SHORT, TOO_LONG = "reach.length-short", "reach.length-long"
NO_HANDING_KIT = "reach.handing-kit"
NO_ADAPTER, NO_FLANGE, NO_SHAFT, NO_WISH = (
    "reach.base-pattern",
    "reach.flange",
    "reach.spindle",
    "wishes.unmet",
)


@dataclass(frozen=True, slots=True)
class Extent:
    """The worlds in which all kits are to fail: a corner, and every deck and bearing of these."""

    corner: Corner
    deck: tuple[int, int]
    datums: int


def check_failures(
    ground: Ground, rows: Iterable[FailureRow], places: dict[PlaceKey, Place], extent: Extent
) -> Iterator[str]:
    """Whether rows prove that no kit passes in any of the places."""
    by_place: dict[PlaceKey, list[FailureRow]] = {key: [] for key in places}
    for row in rows:
        place = ground.place_of(row.circumstance)
        if place is None or place.key not in by_place:
            yield f"failure-place: the worlds in question do not include {row.circumstance}."
        else:
            by_place[place.key].append(row)
    for key, place in places.items():
        yield from (f"{fault} in {key}." for fault in _check_place(ground, place, by_place[key], extent))


def _check_place(ground: Ground, place: Place, rows: list[FailureRow], extent: Extent) -> Iterator[str]:
    if _winch_fails(ground, place, rows):
        return
    candidates = set(_candidates(ground, place))
    others = [row for row in rows if not _not_to_be_had(ground, row)]
    named_twice = len(rows) != len({(row.drive, row.hand) for row in rows})
    if named_twice:
        yield "failure-twice: a drive has two rows in one hand"
    if not candidates:
        # Where all that is wished for lacks a handing kit, the rows that say so are enough.
        yield from _check_link(ground, place, others) if others or not rows else ()
        return
    shown = {(row.drive, row.hand) for row in rows}
    yield from (
        f"failure-missing: nothing is said of {drive} ({hand.value})"
        for drive, hand in sorted(candidates - shown)
    )
    for row in others:
        if (row.drive, row.hand) not in candidates:
            yield f"failure-name: {row.drive!r} ({row.hand.value}) is no candidate"
        else:
            yield from _check_row(ground, place, row, extent)


def _winch_fails(ground: Ground, place: Place, rows: list[FailureRow]) -> bool:
    """Whether one row without a drive names what no kit can help: the family, the run, the plug."""
    if [row.drive for row in rows] != [""] or not rows[0].fails:
        return False
    return set(rows[0].fails) <= set(failing(winch_figures(ground, place)))


# --- who is a candidate ----------------------------------------


def _candidates(ground: Ground, place: Place) -> Iterator[tuple[str, Hand]]:
    """Every (drive, hand) that is wished for and mates with some adapter and shaft."""
    for drive in _electric(ground):
        if any(adapters_for(ground, place, drive)) and any(shafts_for(ground, place, drive)):
            yield from ((drive.sku, hand) for hand, _ in hands(ground, drive) if wished(ground, drive, hand))


def _electric(ground: Ground) -> list[Drive]:
    return [drive for drive in ground.catalog.drives.values() if drive.power is Power.ELECTRIC]


def adapters_for(ground: Ground, place: Place, drive: Drive) -> Iterator[Adapter]:
    for adapter in ground.catalog.adapters.values():
        if adapter.flange == drive.flange and takes_base(adapter, place):
            yield adapter


def shafts_for(ground: Ground, place: Place, drive: Drive) -> Iterator[Shaft]:
    for shaft in ground.catalog.shafts.values():
        if window(shaft, drive, place) is not None:
            yield shaft


def _not_to_be_had(ground: Ground, row: FailureRow) -> bool:
    """Whether a row says, and rightly, that no handing kit changes this drive over to this hand."""
    drive = ground.catalog.drives.get(row.drive)
    if drive is None or NO_HANDING_KIT not in row.fails or drive.hand is not DriveHand.CONVERTIBLE:
        return False
    return row.hand is not Hand.NONE and row.hand not in {hand for hand, _ in hands(ground, drive)}


def _check_link(ground: Ground, place: Place, rows: list[FailureRow]) -> Iterator[str]:
    """Where there is no candidate, one row without a drive names the first link that is missing."""
    missing = _missing_link(ground, place)
    if [(row.drive, row.fails) for row in rows] != [("", (missing,))]:
        said = ", ".join(name for row in rows for name in row.fails) or "nothing"
        yield f"failure-link: it is {missing} that is missing, not {said}"


def _missing_link(ground: Ground, place: Place) -> str:
    if place.run is None:
        return run_figures(ground, place)[0].name
    if not any(takes_base(adapter, place) for adapter in ground.catalog.adapters.values()):
        return NO_ADAPTER
    bolted = [drive for drive in _electric(ground) if any(adapters_for(ground, place, drive))]
    if not bolted:
        return NO_FLANGE
    return NO_WISH if any(any(shafts_for(ground, place, drive)) for drive in bolted) else NO_SHAFT


# --- one drive in one hand ----------------------------------------


def _check_row(ground: Ground, place: Place, row: FailureRow, extent: Extent) -> Iterator[str]:
    survivor = Survivors(ground, place, row, extent).first()
    if survivor is not None:
        yield f"failure-row: {named(survivor)} fails none of {', '.join(row.fails) or 'nothing'}"


@dataclass(frozen=True)
class Survivors:
    """The kits of a row that fail none of its named checks in the extent."""

    ground: Ground
    place: Place
    row: FailureRow
    extent: Extent

    @property
    def names(self) -> frozenset[str]:
        return frozenset(self.row.fails)

    @property
    def drive(self) -> Drive:
        return self.ground.catalog.drives[self.row.drive]

    def first(self) -> Kit | None:
        if self._drive_fails():
            return None
        sides = list(self._told_apart(self._sides(), lambda side: (*side[0].skus(), *dict(side[1].spacers))))
        fills = self._told_apart(
            self._fills() if sides else (), lambda fill: (fill.controller, fill.breaker, fill.switch)
        )
        for fill in fills:
            for core, stack in sides:
                kit = Kit(core, stack, fill)
                if not self._fails(ruling_figures(self.ground, self.place, kit.skus())):
                    return kit
        return None

    def _fails(self, figures: Iterable[Figure]) -> bool:
        return some_named_fails(figures, self.names)

    def _drive_fails(self) -> bool:
        """Whether what reads the winch, the drive and its hand alone is enough."""
        own = [
            *winch_figures(self.ground, self.place),
            *drive_figures(self.ground, self.drive, self.place),
            *part_figures(self.ground, self.place, self.row.drive),
        ]
        if self._fails(own):
            return True
        radii, datums = self.extent.corner.radii, self.extent.datums
        turning = self.ground.turning(self.row.drive, self.row.hand, radii, datums)
        return FREE_RADIUS in self.names and turning.not_served == datums

    def _fits(self, sku: str, *figures: Figure) -> bool:
        """Whether a part survives by its own dates and by what else is asked of it."""
        return not self._fails((*figures, *part_figures(self.ground, self.place, sku)))

    def _sides(self) -> Iterator[tuple[Core, Stack]]:
        """What is bolted together: adapter, shaft, handing kit and stack, none of which fails."""
        ground, drive, corner = self.ground, self.drive, self.extent.corner
        adapters = [
            one.sku
            for one in adapters_for(ground, self.place, drive)
            if self._fits(one.sku, footprint_figure(one, corner))
        ]
        shafts = [
            one
            for one in shafts_for(ground, self.place, drive)
            if self._fits(one.sku, *entry_figures(drive, one, corner))
        ]
        kits = [
            kit
            for hand, kit in sorted(hands(ground, drive))
            if hand is self.row.hand and (not kit or self._fits(kit))
        ]
        for stack in self._stacks():
            for adapter, shaft in product(adapters, shafts):
                if not self._length_fails(adapter, shaft, stack):
                    yield from (
                        (Core(adapter, shaft.sku, drive.sku, self.row.hand, kit), stack) for kit in kits
                    )

    def _stacks(self) -> Iterator[Stack]:
        for stack in stacks(self.ground, self.drive):
            depth = depth_figure(self.drive, stack.thickness_um, self.extent.corner)
            if not self._fails([depth]) and all(self._fits(sku) for sku, _ in stack.spacers):
                yield stack

    def _length_fails(self, adapter: str, shaft: Shaft, stack: Stack) -> bool:
        """Whether the shaft is over-engaged, or slips, on every deck, however it is cut."""
        engages = window(shaft, self.drive, self.place)
        taken = taken_um(self.ground, adapter, stack.thickness_um)
        decks = None if engages is None else shifted(shaft, engages, taken)
        if decks is None:
            return bool(self.names & {TOO_SHORT, TOO_LONG})
        low, high = self.extent.deck
        return (TOO_SHORT in self.names and high < decks[0]) or (TOO_LONG in self.names and low > decks[1])

    def _fills(self) -> Iterator[Fill]:
        ground, drive, place = self.ground, self.drive, self.place
        catalog = ground.catalog
        return fills(
            ground,
            [
                sku
                for sku, one in catalog.controllers.items()
                if self._fits(sku, *controller_figures(ground, one, drive, place))
            ],
            [
                sku
                for sku, one in catalog.breakers.items()
                if self._fits(sku, *breaker_figures(ground, one, drive))
            ],
            [
                sku
                for sku, one in catalog.switches.items()
                if self._fits(sku, *switch_figures(ground, one, switches_wanted(ground, one), place))
            ],
        )

    def _told_apart[T](self, choices: Iterable[T], skus: Callable[[T], Iterable[str]]) -> Iterator[T]:
        """One of all choices that no named ruling can tell apart."""
        ruled = ruled_skus(self.ground.catalog, self.place) if self.names & set(RULINGS) else set()
        seen: set[frozenset[str]] = set()
        for choice in choices:
            present = frozenset(ruled.intersection(skus(choice)))
            if present not in seen:
                seen.add(present)
                yield choice
                if not ruled:
                    return
