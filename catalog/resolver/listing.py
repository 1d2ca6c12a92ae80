"""The list of kits: sure ones first, then those that prove a yes, then possible ones that are best in some
world.

Each by the ranking wished for. A kit is left out when one already listed passes wherever it does and is no
worse in price, lead time and margins; so a list is short and every line of it is a choice.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from catalog.resolver.answer import KitFound, SettingFound
from catalog.resolver.bearings import possible_clockings, sure_clockings
from catalog.resolver.compile import UNPRICED, Bools, Group, Ints
from catalog.resolver.facts import World
from catalog.resolver.field import Rows
from catalog.resolver.fills import PricedFill
from catalog.resolver.gates import judge
from catalog.resolver.geometry import greatest_radius_um
from catalog.resolver.kits import Case, Check, Core, Kit, Setting, window_of
from catalog.resolver.parts import Shaft, ShaftWindow
from catalog.resolver.question import Question
from catalog.resolver.scene import Scene, first_fill
from shared.intervals import TURN, Interval


@dataclass(frozen=True, slots=True)
class Choice:
    """One row of a scene, completed with a fill."""

    scene: Scene
    row: int
    fill: PricedFill

    @property
    def core_number(self) -> int:
        return int(self.scene.rows.core[self.row])

    @property
    def kit(self) -> Kit:
        field, rows = self.scene.field, self.scene.rows
        core, stack = self.core_number, int(rows.stack[self.row])
        return Kit(field.core_of(core), field.stack_of(core, stack), self.fill.fill)

    @property
    def side(self) -> int:
        return int(self.scene.side[self.row])

    @property
    def band(self) -> Interval:
        return Interval(int(self.scene.rows.low[self.row]), int(self.scene.rows.high[self.row]))


class Lister:
    """Ranks and chooses among the rows of all scenes of one question."""

    def __init__(self, scenes: list[Scene], question: Question) -> None:
        self.scenes, self.question = scenes, question
        self.wanted = question.wishes.kits
        groups = [scene.field.group for scene in scenes]
        self.one_group = all(group is groups[0] for group in groups)

    # Sure kits ------------------------------------------------------------------------------------

    @cached_property
    def sure_rows(self) -> Ints:
        """The rows of the first scene that are sure in every scene, by number."""
        first = self.scenes[0]
        numbers = np.flatnonzero(first.sure)
        for scene in self.scenes[1:]:
            if not len(numbers):
                break
            numbers = numbers[self._also_sure(first, numbers, scene)]
        return numbers

    def _also_sure(self, first: Scene, numbers: Ints, other: Scene) -> Bools:
        theirs = np.flatnonzero(other.sure)
        if self.one_group:
            return np.isin(_keys(first.rows.taken(numbers)), _keys(other.rows.taken(theirs)))
        known = {_parts(other, int(row)) for row in theirs}
        return np.array([_parts(first, int(row)) in known for row in numbers], dtype=np.bool_)

    def _sure_fills(self, core: int) -> list[PricedFill]:
        """The fills that suit a core of the first scene in every scene, cheapest first."""
        controls = {scene.control_mv for scene in self.scenes}
        stated = self.scenes[0].field.core_of(core)
        fills = [one for one in self.scenes[0].field.fills_of(core) if controls <= one.control_mv]
        for scene in self.scenes[1:]:
            if scene.field is not self.scenes[0].field:
                known = {one.fill for one in scene.field.fills_of(_number(scene, stated))}
                fills = [one for one in fills if one.fill in known]
        return fills

    @cached_property
    def sure(self) -> tuple[Ints, Rows, list[PricedFill]]:
        """Sure rows by number, priced with a fill that suits every scene, best first; and these fills."""
        scene, numbers = self.scenes[0], self.sure_rows
        fills = {core: self._sure_fills(core) for core in np.unique(scene.rows.core[numbers]).tolist()}
        suited = [core for core, suiting in fills.items() if suiting]
        numbers = numbers[np.isin(scene.rows.core[numbers], np.array(suited, dtype=np.int64))]
        if not len(numbers):
            return numbers, scene.rows.taken(numbers), []
        bare = scene.bare.taken(numbers)
        filled = [
            first_fill(fills[core], lead if scene.by_lead else None)
            for core, lead in zip(bare.core.tolist(), bare.lead.tolist(), strict=True)
        ]
        price = np.minimum(bare.price + np.array([one.price for one in filled], dtype=np.int64), UNPRICED)
        lead = np.maximum(bare.lead, np.array([one.lead for one in filled], dtype=np.int64))
        rows = Rows(bare.core, bare.stack, bare.low, bare.high, bare.need, price, lead)
        order = scene.order(rows)
        return numbers[order], rows.taken(order), [filled[at] for at in order.tolist()]

    def first_sure(self) -> Choice | None:
        numbers, _, fills = self.sure
        if not len(numbers):
            return None
        return Choice(self.scenes[0], int(numbers[0]), fills[0])

    def _best_sure(self) -> Iterator[Choice]:
        """Sure kits, best first, without those that a better one replaces."""
        numbers, rows, fills = self.sure
        scene = self.scenes[0]
        left = np.ones(len(numbers), dtype=np.bool_)
        while left.any():
            at = int(np.argmax(left))
            yield Choice(scene, int(numbers[at]), fills[at])
            left &= ~_replaced(scene, rows, scene.side[numbers], at)
            left[at] = False

    # Possible kits --------------------------------------------------------------------------------

    def _best_possible(self) -> Iterator[Choice]:
        """Possible kits that are best in some world, best first over all scenes."""
        pools = [(scene, np.ones(len(scene.rows.core), dtype=np.bool_)) for scene in self.scenes]
        while True:
            heads = [
                (self._rank(scene, int(np.argmax(left))), number)
                for number, (scene, left) in enumerate(pools)
                if left.any()
            ]
            if not heads:
                return
            scene, left = pools[min(heads)[1]]
            at = int(np.argmax(left))
            yield self.choice(scene, at)
            left &= ~_outdone(scene, at)
            left[at] = False

    def _rank(self, scene: Scene, row: int) -> tuple[int, ...]:
        price, lead = int(scene.rows.price[row]), int(scene.rows.lead[row])
        if scene.rank_by == "margin":
            return (-int(scene.field.margins(scene.rows.taken(np.array([row])))[0]), price, lead)
        return (lead, price) if scene.by_lead else (price, lead)

    def choice(self, scene: Scene, row: int) -> Choice:
        """A row of a scene with the fill it is ranked with."""
        return Choice(scene, row, scene.fill_of(row))

    # The list -------------------------------------------------------------------------------------

    def listed(self, cover: list[Kit]) -> tuple[KitFound, ...]:
        """Sure kits, then the cover, then possible kits: the cover and as many more as are wanted."""
        covering = dict.fromkeys(cover)
        found: dict[Kit, KitFound] = {}
        room = self.wanted + len(covering)
        for choice in self._best_sure():
            if len(found) >= room:
                break
            found[choice.kit] = self.described(choice, sure=True, covering=choice.kit in covering)
        for choice in self._covering(covering, found):
            found[choice.kit] = self.described(choice, sure=False, covering=True)
        for choice in self._best_possible():
            if len(found) >= room:
                break
            if choice.kit not in found and not self._is_sure(choice):
                found[choice.kit] = self.described(choice, sure=False, covering=False)
        return tuple(found.values())

    def every_sure_kit(self) -> Iterator[Kit]:
        """All sure kits, with every fill that is; the tests ask for them."""
        scene = self.scenes[0]
        for row in self.sure_rows.tolist():
            core = int(scene.rows.core[row])
            stack = scene.field.stack_of(core, int(scene.rows.stack[row]))
            for one in self._sure_fills(core):
                yield Kit(scene.field.core_of(core), stack, one.fill)

    def _is_sure(self, choice: Choice) -> bool:
        """Whether a kit found as possible is a sure one, which a better sure kit has kept off the list."""
        controls = {scene.control_mv for scene in self.scenes}
        return controls <= choice.fill.control_mv and _parts(choice.scene, choice.row) in self._sure_parts

    @cached_property
    def _sure_parts(self) -> set[tuple[Core, tuple[tuple[str, int], ...]]]:
        return {_parts(self.scenes[0], row) for row in self.sure[0].tolist()}

    def _covering(self, covering: dict[Kit, None], found: dict[Kit, KitFound]) -> Iterator[Choice]:
        """The kits of the cover that are not sure, best first."""
        for kit in covering:
            if kit not in found:
                yield next(choice for scene in self.scenes if (choice := choice_of(scene, kit)) is not None)

    def described(self, choice: Choice, *, sure: bool, covering: bool) -> KitFound:
        """A kit with all that is to be said of it."""
        kit, scene = choice.kit, choice.scene
        everywhere = [one for other in self.scenes if (one := choice_of(other, kit, choice)) is not None]
        settings = self._settings(choice, sure=sure)
        cut, cut_sure = _common_cut(everywhere) if sure else (_cut_length(choice, _best_deck(choice)), False)
        price, lead = scene.field.figures_of(kit)
        return KitFound(
            kit=kit,
            standing="sure" if sure else "possible",
            in_cover=covering,
            price=price,
            lead_time_days=lead,
            deck=_common_band(everywhere) if sure else choice.band,
            depth_um=int(scene.rows.need[choice.row]),
            circumstances=tuple(one.scene.circumstance for one in everywhere),
            settings=settings,
            cut_length=cut,
            cut_sure=cut_sure or not _window(choice)[0].cut,
            checks=_worst_checks(everywhere, settings, cut if cut_sure else None)
            if sure
            else tuple(judge(best_case_of(choice))),
        )

    def _settings(self, choice: Choice, *, sure: bool) -> tuple[SettingFound, ...]:
        field, side = choice.scene.field, choice.side
        stated = field.side(side)
        if sure and (clockings := sure_clockings(stated, field.free(side, field.tightest), field.datum)):
            return _stretches(clockings, sure=True)
        return _stretches(possible_clockings(stated, field.free(side, field.widest), field.datum), sure=False)

    def core_price(self, core: Core) -> int | None:
        """What a core costs without its completion; None if a part is unpriced."""
        field = self.scenes[0].field
        price = sum(int(field.book.price[field.compiled.number[sku]]) for sku in core.skus())
        return None if price >= UNPRICED else price


def _keys(rows: Rows) -> Ints:
    return rows.core * (1 << 20) + rows.stack


def _parts(scene: Scene, row: int) -> tuple[Core, tuple[tuple[str, int], ...]]:
    core = int(scene.rows.core[row])
    return scene.field.core_of(core), scene.field.stack_of(core, int(scene.rows.stack[row])).spacers


def _number(scene: Scene, core: Core) -> int:
    group = _group(scene)
    row = group.row_of(core, scene.field.compiled.number)
    if row is None:
        raise ValueError("A core that is sure is of every group.")
    return row


def _group(scene: Scene) -> Group:
    if scene.field.group is None:
        raise ValueError("A winch outside every run has no cores.")
    return scene.field.group


def find_row(scene: Scene, kit: Kit) -> int | None:
    """The row of a scene that a kit is a completion of."""
    group = scene.field.group
    core = None if group is None else group.row_of(kit.core, scene.field.compiled.number)
    return None if core is None else _row_with(scene, core, kit)


def choice_of(scene: Scene, kit: Kit, known: Choice | None = None) -> Choice | None:
    """The kit as a choice of a scene; None where it does not pass there in any world. ``known`` saves a
    look-up.
    """
    if known is not None and scene is known.scene:
        return known
    if known is not None and scene.field.group is known.scene.field.group:
        row = _row_with(scene, known.core_number, kit)
    else:
        row = find_row(scene, kit)
    if row is None:
        return None
    fills = scene.field.fills_of(int(scene.rows.core[row]))
    suiting = (one for one in fills if one.fill == kit.fill and scene.control_mv in one.control_mv)
    fill = next(suiting, None)
    return None if fill is None else Choice(scene, row, fill)


def _row_with(scene: Scene, core: int, kit: Kit) -> int | None:
    rows = np.flatnonzero(scene.rows.core == core).tolist()
    return next(
        (row for row in rows if scene.field.stack_of(core, int(scene.rows.stack[row])) == kit.stack), None
    )


def _replaced(scene: Scene, rows: Rows, side: Ints, at: int) -> Bools:
    """Rows that row ``at`` passes wherever they do, at no more money, no later, with no smaller margin."""
    used = scene.field.space_need(rows)
    found: Bools = (
        (side == side[at])
        & (rows.low >= rows.low[at])
        & (rows.high <= rows.high[at])
        & (rows.need >= rows.need[at])
        & (used >= used[at])
        & (rows.price >= rows.price[at])
        & (rows.lead >= rows.lead[at])
        & _ask_no_less(scene, rows, at)
    )
    return found


def _ask_no_less(scene: Scene, rows: Rows, at: int) -> Bools:
    """Rows that need no smaller an opening and no smaller a pad than row ``at``."""
    group, core = _group(scene), rows.core[at]
    found: Bools = (
        (group.narrow[rows.core] >= group.narrow[core])
        & (group.wide[rows.core] >= group.wide[core])
        & (group.round[rows.core] >= group.round[core])
        & (group.footprint[rows.core] >= group.footprint[core])
    )
    return found


def _outdone(scene: Scene, at: int) -> Bools:
    """Rows of the scene that are best in no world because row ``at``, ranked before them, passes wherever
    they do.
    """
    rows, field = scene.rows, scene.field
    low, high = max(int(rows.low[at]), scene.first), min(int(rows.high[at]), scene.last)
    everywhere = field.rooms(field.tightest)[scene.side[at]].all()
    found: Bools = (
        ((scene.side == scene.side[at]) | everywhere)
        & (np.maximum(rows.low, scene.first) >= low)
        & (np.minimum(rows.high, scene.last) <= high)
        & ((rows.need >= rows.need[at]) | (rows.need[at] <= field.tightest.depth_um))
        & _ask_no_less(scene, rows, at)
    )
    return found


def _stretches(clockings: list[int], *, sure: bool) -> tuple[SettingFound, ...]:
    """Consecutive tenths as one stretch."""
    apart = np.flatnonzero(np.diff(clockings) != 1) + 1
    pieces = np.split(np.array(clockings, dtype=np.int64), apart) if clockings else []
    return tuple(SettingFound(int(piece[0]), int(piece[-1]), sure) for piece in pieces)


# Cut lengths, worst and best worlds ---------------------------------------------------------------


def _window(choice: Choice) -> tuple[Shaft, ShaftWindow]:
    field = choice.scene.field
    catalog, core = field.compiled.catalog, field.core_of(choice.core_number)
    shaft, run = catalog.shafts[core.shaft], field.variant.run
    window = window_of(shaft, run.spindle if run else "", catalog.drives[core.drive].coupling)
    if window is None:
        raise ValueError("A row's shaft has a window.")
    return shaft, window


def _length_um(choice: Choice, deck_um: int) -> int:
    """L of the kit at a deck thickness."""
    field, kit = choice.scene.field, choice.kit
    thickness = field.compiled.catalog.adapters[kit.core.adapter].thickness_um
    return thickness + deck_um + kit.stack.thickness_um + field.question.assumptions.bedding_um


def _cut_length(choice: Choice, deck_um: int) -> Interval | None:
    """To what a shaft may be cut for one deck thickness of its band; None for one that is not cut."""
    shaft, window = _window(choice)
    if not shaft.cut:
        return None
    length = _length_um(choice, deck_um)
    return Interval(
        max(length - window.to_um, shaft.cut_min_um), min(length - window.from_um, shaft.cut_max_um)
    )


def _common_cut(choices: list[Choice]) -> tuple[Interval | None, bool]:
    """To what the shaft of a sure kit may be cut in every world; else at the best deck of the first scene."""
    cuts = [
        cut
        for choice in choices
        for deck in (choice.scene.first, choice.scene.last)
        if (cut := _cut_length(choice, deck)) is not None
    ]
    low = max((cut.low or 0 for cut in cuts), default=0)
    high = min((cut.high or 0 for cut in cuts), default=0)
    if cuts and low <= high:
        return Interval(low, high), True
    return _cut_length(choices[0], _best_deck(choices[0])), False


def _common_band(choices: list[Choice]) -> Interval:
    """The deck thicknesses that a sure kit spans whichever run the winch is of."""
    return Interval(max(one.band.low or 0 for one in choices), min(one.band.high or 0 for one in choices))


def _best_deck(choice: Choice) -> int:
    """The thickness within the survey that lies nearest the middle of the band."""
    low = max(choice.band.low or 0, choice.scene.first)
    high = min(choice.band.high or 0, choice.scene.last)
    middle = ((choice.band.low or 0) + (choice.band.high or 0)) // 2
    return min(max(middle, low), high)


def best_case_of(choice: Choice) -> Case:
    """A world in which the kit passes, with its first setting: the widest corner, the best deck, a free
    bearing.
    """
    scene, field = choice.scene, choice.scene.field
    free = field.free(choice.side, field.widest)
    clocking = possible_clockings(field.side(choice.side), free, field.datum)[0]
    bearing = int(field.datum[np.argmax(free.flags[(field.datum + clocking) % TURN])])
    deck = _best_deck(choice)
    setting = Setting(clocking, _middle(_cut_length(choice, deck)))
    return Case(
        field.compiled.catalog, field.question, choice.kit, setting, scene.world(field.widest, deck, bearing)
    )


def _middle(interval: Interval | None) -> int | None:
    if interval is None or interval.low is None or interval.high is None:
        return None
    return (interval.low + interval.high) // 2


def _worst_checks(
    choices: list[Choice], settings: tuple[SettingFound, ...], cut: Interval | None
) -> tuple[Check, ...]:
    """The gates' figures of a sure kit, each in the world in which it is smallest.

    ``cut`` is the length to which the shaft is cut whatever the deck; without one it is cut to each deck.
    """
    clocking = settings[0].from_ddeg
    worst: dict[tuple[object, ...], Check] = {}
    for choice in choices:
        for deck in (choice.scene.first, choice.scene.last):
            length = _middle(cut or _cut_length(choice, deck))
            judged = judge(_tight_case(choice, Setting(clocking, length), deck))
            for found in judged:
                turning = found.name == "space.free-radius" and len(choice.scene.field.datum) > 1
                check = _worst_radius(choice, found, clocking) if turning else found
                about = (check.name, *(check.facts.get(name) for name in ("sku", "part", "exception")))
                known = worst.get(about)
                if known is None or check.margin < known.margin:
                    worst[about] = check
    return tuple(worst.values())


def _tight_case(choice: Choice, setting: Setting, deck_um: int) -> Case:
    field = choice.scene.field
    world: World = choice.scene.world(field.tightest, deck_um, int(field.datum[0]))
    return Case(field.compiled.catalog, field.question, choice.kit, setting, world)


def _worst_radius(choice: Choice, check: Check, clocking: int) -> Check:
    """The free-radius check over all bearings of the datum: a sector widened by them meets the same."""
    field = choice.scene.field
    solids, arc = field.side(choice.side).solids, field.survey.datum
    last = arc.start + arc.length + clocking
    margins = [
        radius - greatest_radius_um(solids, sector.start - last, min(sector.length + arc.length, TURN))
        for sector, radius in field.tightest.sectors
    ]
    return Check(check.gate, check.code, min(margins), check.unit, check.facts)
