"""Groups: the cores that mate on one base pattern and spindle, joined once and kept in columns.

What stands under an adapter depends on its flange and the winch's spindle alone: the *underside*, drives in
their hands with the shafts that join them to the spindle. Each is joined once; a group is the undersides of
its adapters, one after the other, with the adapters' own figures taken in.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from catalog.resolver.gates.entry import offer_up_um, round_need_um, smaller_sides_um, standing_um
from catalog.resolver.kits import Core, hands_of, window_of
from catalog.resolver.parts import Adapter, Catalog, Drive, Hand, Shaft

Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]

NOTHING = -1
HANDS = (Hand.NONE, Hand.LEFT, Hand.RIGHT)


@dataclass(frozen=True, slots=True)
class Underside:
    """Drives in their hands with shafts, a row each: numbers of articles, and figures without an adapter
    (µm).
    """

    sides: tuple[tuple[str, Hand], ...]
    columns: Ints


UNDERSIDE = (
    "shaft",
    "drive",
    "handing",
    "hand",
    "side",
    "low",
    "high",
    "lift",
    "narrow",
    "wide",
    "round",
    "height",
)


@dataclass(frozen=True, slots=True)
class Group:
    """The cores on one base pattern and spindle, a row each. Lengths in µm.

    ``adapter``, ``shaft``, ``drive`` and ``handing`` are numbers of articles. ``low`` and ``high`` bound
    deck + spacers + bedding; ``lift`` is the depth that offering up takes; ``narrow``, ``wide`` and
    ``round`` are what the opening must be; ``height`` is drive and clearance; ``side`` numbers the (drive,
    hand) pairs of the group.
    """

    skus: tuple[str, ...]
    sides: tuple[tuple[str, Hand], ...]
    flanges: tuple[str, ...]
    adapter: Ints
    shaft: Ints
    drive: Ints
    handing: Ints
    hand: Ints
    side: Ints
    low: Ints
    high: Ints
    lift: Ints
    narrow: Ints
    wide: Ints
    round: Ints
    height: Ints
    footprint: Ints
    flange: Ints

    def __len__(self) -> int:
        return len(self.adapter)

    def core(self, row: int) -> Core:
        """The core of a row."""
        handing = int(self.handing[row])
        return Core(
            self.skus[self.adapter[row]],
            self.skus[self.shaft[row]],
            self.skus[self.drive[row]],
            HANDS[self.hand[row]],
            "" if handing == NOTHING else self.skus[handing],
        )

    def row_of(self, core: Core, number: Mapping[str, int]) -> int | None:
        """The row of a core, by the numbers of its articles; None where it is not of this group."""
        wanted = [
            number.get(sku, NOTHING) for sku in (core.adapter, core.shaft, core.drive, core.handing_kit)
        ]
        found = (self.adapter == wanted[0]) & (self.shaft == wanted[1]) & (self.drive == wanted[2])
        rows = np.flatnonzero(found & (self.handing == wanted[3]) & (self.hand == HANDS.index(core.hand)))
        return int(rows[0]) if len(rows) else None


@dataclass(slots=True)
class Joiner:
    """Joins groups from a catalog whose articles are numbered in the order of ``skus``."""

    catalog: Catalog
    skus: tuple[str, ...]
    number: Mapping[str, int]
    drives_on: Mapping[str, tuple[Drive, ...]]
    shafts_on: Mapping[tuple[str, str], tuple[Shaft, ...]]
    kits_for: Mapping[str, tuple[str, ...]]
    _undersides: dict[tuple[str, str], Underside] = field(default_factory=dict)
    _needs: dict[tuple[str, int], tuple[int, int, int]] = field(default_factory=dict)

    def group(self, adapters: Iterable[Adapter], spindle: str) -> Group:
        """The group of some adapters on a spindle; rows by adapter, drive, hand and shaft."""
        blocks: list[Ints] = []
        own: list[tuple[int, int, int, int, int]] = []
        sides: list[tuple[str, Hand]] = []
        flanges: dict[str, tuple[int, int]] = {}
        for adapter in sorted(adapters, key=lambda one: one.sku):
            underside = self.underside(adapter.flange, spindle)
            if adapter.flange not in flanges:
                flanges[adapter.flange] = (len(flanges), len(sides))
                sides += underside.sides
            flange, first_side = flanges[adapter.flange]
            blocks.append(underside.columns)
            figures = (self.number[adapter.sku], adapter.thickness_um, adapter.footprint_um)
            own.append((*figures, flange, first_side))
        return self._stacked(blocks, own, tuple(sides), tuple(flanges))

    def _stacked(
        self,
        blocks: list[Ints],
        own: list[tuple[int, int, int, int, int]],
        sides: tuple[tuple[str, Hand], ...],
        flanges: tuple[str, ...],
    ) -> Group:
        lengths = [block.shape[1] for block in blocks]
        whole = np.concatenate(blocks, axis=1) if blocks else np.zeros((len(UNDERSIDE), 0), dtype=np.int64)
        spread = np.repeat(np.array(own, dtype=np.int64).reshape(len(own), 5).T, lengths, axis=1)
        adapter, thickness, footprint, flange, first_side = spread
        column = dict(zip(UNDERSIDE, whole, strict=True))
        column |= {"side": column["side"] + first_side}
        column |= {"low": column["low"] - thickness, "high": column["high"] - thickness}
        return Group(self.skus, sides, flanges, adapter=adapter, footprint=footprint, flange=flange, **column)

    def underside(self, flange: str, spindle: str) -> Underside:
        key = (flange, spindle)
        if key not in self._undersides:
            self._undersides[key] = self._joined(flange, spindle)
        return self._undersides[key]

    def _joined(self, flange: str, spindle: str) -> Underside:
        rows: list[tuple[int, ...]] = []
        sides: dict[tuple[str, Hand], int] = {}
        for drive in self.drives_on.get(flange, ()):
            shafts = [
                (
                    self.number[shaft.sku],
                    *_window(shaft, spindle, drive.coupling),
                    *self._entry_needs(drive, shaft),
                )
                for shaft in self.shafts_on.get((spindle, drive.coupling), ())
            ]
            height = drive.height_um + drive.clearance_um
            for hand, kit in hands_of(self.catalog, drive, self.kits_for.get(drive.sku, ())):
                handing = self.number[kit] if kit else NOTHING
                side = sides.setdefault((drive.sku, hand), len(sides)) if shafts else 0
                fixed = (self.number[drive.sku], handing, HANDS.index(hand), side)
                rows += [(shaft, *fixed, *figures, height) for shaft, *figures in shafts]
        columns = np.array(rows, dtype=np.int64).reshape(len(rows), len(UNDERSIDE)).T
        return Underside(tuple(sides), columns)

    def _entry_needs(self, drive: Drive, shaft: Shaft) -> tuple[int, int, int, int]:
        """(offer-up depth, narrower side, wider side, round diameter) that the drive's pieces ask for."""
        standing = standing_um(shaft)
        if (drive.sku, standing) not in self._needs:
            sides = [smaller_sides_um(piece, standing) for piece in drive.pieces]
            self._needs[drive.sku, standing] = (
                max(small for small, _ in sides),
                max(middle for _, middle in sides),
                max(round_need_um(small, middle) for small, middle in sides),
            )
        return (offer_up_um(drive, shaft), *self._needs[drive.sku, standing])


def _window(shaft: Shaft, spindle: str, coupling: str) -> tuple[int, int]:
    """Between which L a shaft can be made to engage."""
    window = window_of(shaft, spindle, coupling)
    if window is None:
        raise ValueError("A shaft is indexed by the windows it has.")
    shortest, longest = (shaft.cut_min_um, shaft.cut_max_um) if shaft.cut else (0, 0)
    return shortest + window.from_um, longest + window.to_um
