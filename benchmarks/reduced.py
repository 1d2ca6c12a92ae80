"""What the rivals are given: the compiled catalog's own figures as plain rows, and a fixed world as numbers.

A rival gets everything that the resolver has worked out when compiling (cores joined, bands of deck
thickness, spacer stacks, what offering up and openings need) and what it may precompute (the cheapest
fill of slots for each drive, parts that may not be had left out). It is also told, free of charge, which
drives have room round the shaft, what a keeper's rulings forbid, and between which torques a drive suits
the winch.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from catalog.resolver.compile import UNPRICED, Compiled
from catalog.resolver.definition import allowed_clockings
from catalog.resolver.facts import Sector, Survey, survey_of
from catalog.resolver.gates.duty import HIGH_LOSS_PERCENT, LOW_LOSS_PERCENT
from catalog.resolver.gates.feed import carry_percent, charging_voltage_mv, switch_count
from catalog.resolver.geometry import greatest_radius_um, in_hand
from catalog.resolver.groups import NOTHING, Group
from catalog.resolver.kits import wished
from catalog.resolver.parts import Drive, ExceptionKind, Hand, Plug, Solid
from catalog.resolver.question import Assumptions, Question, read_question

CONTROL_MV = (12_000, 24_000)
Signature = tuple[str, str]


@dataclass(frozen=True, slots=True)
class CoreRow:
    """Adapter, shaft and drive in a hand on one base pattern and spindle. ``price`` None: unpriced."""

    signature: int
    core: int
    flange: int
    drive: int
    side: int
    low: int
    high: int
    lift: int
    narrow: int
    wide: int
    round: int
    footprint: int
    height: int
    motor_mv: int
    torque: int
    reversible: bool
    press_ms: int
    price: int | None


@dataclass(frozen=True, slots=True)
class StackRow:
    flange: int
    stack: int
    thickness: int
    price: int | None


@dataclass(frozen=True, slots=True)
class FillRow:
    """The cheapest controller, breaker and switches for a drive at a control voltage."""

    drive: int
    control_mv: int
    price: int | None


@dataclass(frozen=True, slots=True)
class FixedWorld:
    """One world of one question, as numbers. ``sides``: the drives in a hand with room and as wished."""

    possible: bool
    signature: int
    deck: int
    depth: int
    is_round: bool
    narrow: int
    wide: int
    pad: int
    motor_mv: int
    control_mv: int
    torque_least: int
    torque_most: int
    both_ways: bool
    press_ms: int
    sides: tuple[int, ...]


def total(*prices: int | None) -> int | None:
    """The sum, unpriced as soon as one is."""
    return None if None in prices else sum(price for price in prices if price is not None)


class Reduced:
    """The rows of one compiled catalog, at the date and in the currency of ``question``, a typical one."""

    def __init__(self, compiled: Compiled, question: Question) -> None:
        self.compiled = compiled
        self.catalog = compiled.catalog
        self.assumed: Assumptions = question.assumptions
        self.book = compiled.book(question.as_of, question.wishes.currency)
        runs = self.catalog.runs.values()
        self.signatures = {
            one: number
            for number, one in enumerate(sorted({(run.base_pattern, run.spindle) for run in runs}))
        }
        self.flanges = {code: number for number, code in enumerate(self.catalog.flanges)}
        self.drives = {sku: number for number, sku in enumerate(self.catalog.drives)}
        hands = [(sku, hand) for sku in self.catalog.drives for hand in Hand]
        self.sides = {one: number for number, one in enumerate(hands)}

    def group(self, signature: Signature) -> Group:
        return self.compiled.group_with(*signature, frozenset())

    def _price(self, number: int) -> int | None:
        price = int(self.book.price[number])
        return None if price >= UNPRICED else price

    def _usable(self, sku: str) -> bool:
        return not self.book.era[self.compiled.number[sku]]

    # --- rows ---

    def cores(self) -> Iterator[CoreRow]:
        for signature in self.signatures:
            yield from self.cores_of(signature)

    def cores_of(self, signature: Signature) -> Iterator[CoreRow]:
        """The cores of a signature whose parts may all be had."""
        group, era = self.group(signature), self.book.era
        articles = (group.adapter, group.shaft, group.drive, group.handing)
        figures = (group.low, group.high, group.lift, group.narrow, group.wide, group.round, group.footprint)
        columns = (*articles, group.side, *figures, group.height)
        for row, values in enumerate(zip(*(column.tolist() for column in columns), strict=True)):
            numbers = [number for number in values[:4] if number != NOTHING]
            if era[numbers].any():
                continue
            drive = self.catalog.drives[self.compiled.skus[values[2]]]
            side, low, high, lift, narrow, wide, around, footprint, height = values[4:]
            yield CoreRow(
                signature=self.signatures[signature],
                core=row,
                flange=self.flanges[drive.flange],
                drive=self.drives[drive.sku],
                side=self.sides[group.sides[side]],
                low=low,
                high=high,
                lift=lift,
                narrow=narrow,
                wide=wide,
                round=around,
                footprint=footprint,
                height=height,
                motor_mv=drive.motor_voltage_mv,
                torque=drive.torque_mnm,
                reversible=drive.reversible,
                press_ms=drive.max_press_ms,
                price=total(*(self._price(number) for number in numbers)),
            )

    def stacks(self) -> Iterator[StackRow]:
        number = self.compiled.number
        for code, flange in self.flanges.items():
            for row, stack in enumerate(self.compiled.stacks[code].stacks):
                if all(self._usable(sku) for sku, _ in stack.spacers):
                    prices = [self._price(number[sku]) for sku, count in stack.spacers for _ in range(count)]
                    yield StackRow(flange, row, stack.thickness_um, total(*prices))

    def fills(self) -> Iterator[FillRow]:
        for sku, drive in self.drives.items():
            for control_mv in CONTROL_MV:
                slots = self._slots(self.catalog.drives[sku], control_mv)
                if all(slots):
                    yield FillRow(drive, control_mv, total(*map(_cheapest, slots)))

    @cached_property
    def _carried_ma(self) -> dict[str, int]:
        press_ms = 1_000 * self.assumed.press_seconds
        return {
            sku: one.rating_ma * carry_percent(one.trips, press_ms) // 100
            for sku, one in self.catalog.breakers.items()
            if self._usable(sku)
        }

    @cached_property
    def _known_slots(self) -> dict[tuple[int, ...], tuple[list[int | None], ...]]:
        return {}

    def _slots(self, drive: Drive, control_mv: int) -> tuple[list[int | None], ...]:
        """The prices of the controllers, breakers and switches that suit, each kind for itself."""
        key = (
            drive.motor_voltage_mv,
            drive.motor_leads,
            drive.peak_current_ma,
            drive.largest_breaker_ma,
            control_mv,
        )
        if key not in self._known_slots:
            self._known_slots[key] = (
                self._controllers(drive, control_mv),
                self._breakers(drive),
                self._switches(control_mv),
            )
        return self._known_slots[key]

    def _controllers(self, drive: Drive, control_mv: int) -> list[int | None]:
        return [
            self._price(self.compiled.number[sku])
            for sku, one in self.catalog.controllers.items()
            if self._usable(sku)
            and drive.motor_voltage_mv in one.motor_voltages_mv
            and control_mv in one.control_voltages_mv
            and one.motor_leads == drive.motor_leads
            and one.max_current_ma >= drive.peak_current_ma
            and one.plain_switches
            and one.inputs >= self.assumed.switch_inputs
        ]

    def _breakers(self, drive: Drive) -> list[int | None]:
        return [
            self._price(self.compiled.number[sku])
            for sku, carried_ma in self._carried_ma.items()
            if carried_ma >= drive.peak_current_ma
            and self.catalog.breakers[sku].rating_ma <= drive.largest_breaker_ma
            and self.catalog.breakers[sku].max_voltage_mv >= charging_voltage_mv(drive.motor_voltage_mv)
        ]

    def _switches(self, control_mv: int) -> list[int | None]:
        found = []
        for sku, one in self.catalog.switches.items():
            if self._usable(sku) and one.max_voltage_mv >= control_mv:
                count = switch_count(self.assumed.switch_inputs, one.buttons)
                found.append(total(*[self._price(self.compiled.number[sku])] * count))
        return found

    # --- a question ---

    def world(self, asked: dict[str, Any]) -> FixedWorld:
        """The world of a question whose every fact is exact."""
        question = read_question(asked)
        survey = survey_of(question, self.catalog, self.compiled.index)
        if len(survey.variants) != 1 or len(survey.plugs) != 1 or len(survey.voltages_mv) != 1:
            raise ValueError("The question leaves more than one world.")
        run, model = survey.variants[0].run, survey.model
        if run is None:
            raise ValueError("The question names no production run.")
        stays = survey.plugs[0] and run.plug is not Plug.NONE and not run.plug_removable
        force = 100 * model.drum_diameter_um
        least_n = -(-model.working_load_n * question.assumptions.least_pull_percent // 100)
        ratio = 2 * model.gear_ratios_milli[-1]
        narrow, wide = sorted((survey.opening_width.low or 0, survey.opening_height.low or 0))
        return FixedWorld(
            possible=self.catalog.families[model.family].convertible and not stays,
            signature=self.signatures[run.base_pattern, run.spindle],
            deck=(survey.deck_thickness.low or 0) + question.assumptions.bedding_um,
            depth=survey.depth_below_deck.low or 0,
            is_round=survey.opening_round,
            narrow=narrow,
            wide=wide,
            pad=survey.pad_diameter.low or 0,
            motor_mv=survey.voltages_mv[0][0],
            control_mv=survey.voltages_mv[0][1],
            torque_least=-(-least_n * force // (ratio * (100 - HIGH_LOSS_PERCENT))),
            torque_most=min(
                model.spindle_torque_max_mnm,
                model.working_load_n * force // (ratio * (100 - LOW_LOSS_PERCENT)),
            ),
            both_ways=len(model.gear_ratios_milli) > 1,
            press_ms=1_000 * question.assumptions.press_seconds,
            sides=tuple(self._sides(question, survey, (run.base_pattern, run.spindle))),
        )

    def _sides(self, question: Question, survey: Survey, signature: Signature) -> Iterator[int]:
        rulings = survey.variants[0].exceptions
        forbidden = {one.sku for one in rulings if one.kind is ExceptionKind.FORBID and not one.with_sku}
        for sku, hand in sorted(set(self.group(signature).sides)):
            drive = self.catalog.drives[sku]
            if sku not in forbidden and wished(question, drive, hand) and _has_room(drive, hand, survey):
                yield self.sides[sku, hand]


def _cheapest(prices: list[int | None]) -> int | None:
    return min((price for price in prices if price is not None), default=None)


def _has_room(drive: Drive, hand: Hand, survey: Survey) -> bool:
    solids = in_hand(drive.solids, hand)
    motors = (survey.datum.start + clocking for clocking in allowed_clockings(drive.clockings_ddeg))
    return any(all(_free(solids, motor, sector) for sector in survey.sectors) for motor in motors)


def _free(solids: tuple[Solid, ...], motor_ddeg: int, sector: Sector) -> bool:
    reach = greatest_radius_um(solids, sector.arc.start - motor_ddeg, sector.arc.length)
    return reach <= (sector.radius.low or 0)
