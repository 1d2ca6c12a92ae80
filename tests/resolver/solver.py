"""A second resolver for one fixed world, written as a constraint model and knowing nothing of the first.

It reads the catalog's values and the question's JSON, states how parts mate as linear constraints over
adapter, shaft, drive in a hand, handing kit, numbers of spacers, cut length, clocking, controller, breaker
and switch, and lets OR-tools CP-SAT find a kit, or the cheapest one. What needs roots or angles is decided
beforehand by shapely (``tests/resolver/solver_space.py``).
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from ortools.sat.python import cp_model

from catalog.resolver import parts
from catalog.resolver.parts import DriveHand, ExceptionKind, Hand, Lifts, Mounting, Plug, Power, Status
from tests.resolver.solver_space import LENIENT_MM, fits_at

Json = Mapping[str, Any]

CHARGING_MV = {12_000: 15_000, 24_000: 30_000, 48_000: 60_000}


def um(length: Json) -> int:
    """The exact length of a fixed world."""
    return int(length["value"] * 1_000)


@dataclass(frozen=True)
class Offer:
    """A drive in one hand, with the handing kit that this hand takes, or none."""

    drive: parts.Drive
    hand: Hand
    handing_kit: str


@dataclass
class SecondOpinion:
    """The model of one question. ``run`` is the production run of this world, None for none."""

    catalog: parts.Catalog
    question: Json
    run: parts.Run | None
    tolerance_mm: float = LENIENT_MM
    model: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    chosen: dict[str, cp_model.IntVar] = field(default_factory=dict)
    count: dict[str, cp_model.IntVar] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.winch = self.catalog.models[self.question["winch"]["model"]]
        self.as_of = date.fromisoformat(self.question["as_of"])
        given = self.question["assumptions"]
        self.press_ms: int = 1_000 * given.get("press_seconds", 15)
        self.inputs: int = given.get("switch_inputs", 2)
        self.bedding = 1_000 * given.get("bedding", 0)
        self.least_pull = given.get("least_pull_percent", 40)
        self.rulings = [one for one in self.catalog.exceptions if self._concerned(one)]
        self._state()

    # --- solving ---

    def answer(self) -> tuple[str, int | None]:
        """Verdict and price of the cheapest kit; None where no kit is priced."""
        verdict = self.verdict()
        return verdict, self.cheapest() if verdict == "yes" else None

    def verdict(self) -> str:
        _, status = _solved(self.model)
        return "yes" if status in {cp_model.OPTIMAL, cp_model.FEASIBLE} else "no"

    def cheapest(self) -> int | None:
        """The price of the cheapest kit all of whose parts are priced, in minor units; None without one."""
        priced = self.model.clone()
        terms = []
        for sku, number in self._quantities():
            price = self._price(sku)
            if price is None:
                priced.add(number == 0)
            else:
                terms.append(price * number)
        priced.minimize(sum(terms))
        solver, status = _solved(priced)
        return round(float(solver.objective_value)) if status == cp_model.OPTIMAL else None

    def _quantities(self) -> Iterable[tuple[str, Any]]:
        for sku, literal in self.chosen.items():
            if sku in self.count:
                yield sku, self.count[sku]
            elif sku in self.catalog.switches:
                yield sku, literal * self._switches(sku)
            else:
                yield sku, literal

    def _price(self, sku: str) -> int | None:
        begun = [
            (one.valid_from, one.amount_minor)
            for one in self.catalog.parts[sku].prices
            if one.currency == self.question["wishes"]["currency"] and one.valid_from <= self.as_of
        ]
        return max(begun)[1] if begun else None

    def _switches(self, sku: str) -> int:
        return math.ceil(self.inputs / self.catalog.switches[sku].buttons)

    # --- the statements ---

    def _state(self) -> None:
        catalog = self.catalog
        for sku in catalog.parts:
            self.chosen[sku] = self.model.new_bool_var(sku)
        for slot in (
            catalog.adapters,
            catalog.shafts,
            catalog.drives,
            catalog.controllers,
            catalog.breakers,
            catalog.switches,
        ):
            self.model.add_exactly_one(self.chosen[sku] for sku in slot)
        if self.run is None or not catalog.families[self.winch.family].convertible:
            self.model.add_bool_or([])
            return
        self._winch_side(self.run)
        self._hands()
        self._spacers()
        self._shaft_and_length(self.run)
        self._entry()
        self._duty()
        self._feed()
        self._era()

    def _never(self, *skus: str) -> None:
        """These are never in one kit."""
        self.model.add_bool_or([self.chosen[sku].negated() for sku in skus])

    def _winch_side(self, run: parts.Run) -> None:
        if (
            self.question["winch"]["plug"] == "present"
            and run.plug is not Plug.NONE
            and not run.plug_removable
        ):
            self.model.add_bool_or([])
        pad = um(self.question["survey"]["pad_diameter"])
        for sku, adapter in self.catalog.adapters.items():
            if run.base_pattern not in adapter.bases and not self._lifted(sku, Lifts.MATING):
                self._never(sku)
            if adapter.footprint_um > pad:
                self._never(sku)
            for other, drive in self.catalog.drives.items():
                if adapter.flange != drive.flange:
                    self._never(sku, other)

    def _hands(self) -> None:
        """Exactly one drive in one hand at one clocking that the free space admits."""
        settings: dict[str, list[cp_model.IntVar]] = {sku: [] for sku in self.catalog.drives}
        with_kit: dict[str, list[cp_model.IntVar]] = {sku: [] for sku in self.catalog.handing_kits}
        survey = self.question["survey"]
        for offer in self._offers():
            for clocking in _clockings(offer.drive):
                if fits_at(offer.drive.solids, offer.hand, clocking, survey, self.tolerance_mm):
                    setting = self.model.new_bool_var(f"{offer.drive.sku} {offer.hand} {clocking}")
                    settings[offer.drive.sku].append(setting)
                    if offer.handing_kit:
                        with_kit[offer.handing_kit].append(setting)
        for sku, ways in settings.items():
            self.model.add(sum(ways) == self.chosen[sku])
        for sku, ways in with_kit.items():
            self.model.add(sum(ways) == self.chosen[sku])

    def _offers(self) -> Iterable[Offer]:
        wishes = self.question["wishes"]
        for drive in self.catalog.drives.values():
            if drive.power is Power.ELECTRIC and wishes.get("drive", "any") in {
                "any",
                drive.drive_type.value,
            }:
                for offer in self._offers_of(drive):
                    if wishes.get("hand", "any") in {"any", offer.hand.value} or offer.hand is Hand.NONE:
                        yield offer

    def _offers_of(self, drive: parts.Drive) -> Iterable[Offer]:
        yield Offer(drive, drive.supplied_hand, "")
        if drive.hand is DriveHand.CONVERTIBLE:
            other = {Hand.LEFT: Hand.RIGHT, Hand.RIGHT: Hand.LEFT}[drive.supplied_hand]
            for sku, kit in self.catalog.handing_kits.items():
                if drive.sku in kit.drives:
                    yield Offer(drive, other, sku)

    def _spacers(self) -> None:
        catalog, depth = self.catalog, um(self.question["survey"]["depth_below_deck"])
        for sku, spacer in catalog.spacers.items():
            number = self.model.new_int_var(0, spacer.max_count, f"number of {sku}")
            self.count[sku] = number
            self.model.add(number >= 1).only_enforce_if(self.chosen[sku])
            self.model.add(number == 0).only_enforce_if(self.chosen[sku].negated())
        self.stack = sum(spacer.thickness_um * self.count[sku] for sku, spacer in catalog.spacers.items())
        for sku, drive in catalog.drives.items():
            flange, taken = catalog.flanges[drive.flange], self.chosen[sku]
            for other, spacer in catalog.spacers.items():
                if spacer.flange != drive.flange:
                    self._never(sku, other)
            lowest = max(solid.depth_to_um for solid in drive.solids)
            self.model.add(sum(self.count.values()) <= flange.max_spacers).only_enforce_if(taken)
            self.model.add(self.stack <= flange.max_stack_um).only_enforce_if(taken)
            self.model.add(self.stack <= depth - lowest - drive.clearance_um).only_enforce_if(taken)

    def _shaft_and_length(self, run: parts.Run) -> None:
        catalog = self.catalog
        deck = um(self.question["survey"]["deck_thickness"])
        adapter = sum(one.thickness_um * self.chosen[sku] for sku, one in catalog.adapters.items())
        length = adapter + deck + self.stack + self.bedding
        for sku, shaft in catalog.shafts.items():
            cut = (
                self.model.new_int_var(shaft.cut_min_um, shaft.cut_max_um, f"cut of {sku}")
                if shaft.cut
                else 0
            )
            windows = {(one.spindle, one.coupling): one for one in shaft.windows}
            for other, drive in catalog.drives.items():
                window = windows.get((run.spindle, drive.coupling))
                if window is None:
                    self._never(sku, other)
                    continue
                both = [self.chosen[sku], self.chosen[other]]
                self.model.add(length >= cut + window.from_um).only_enforce_if(both)
                self.model.add(length <= cut + window.to_um).only_enforce_if(both)

    def _entry(self) -> None:
        depth = um(self.question["survey"]["depth_below_deck"])
        for sku, shaft in self.catalog.shafts.items():
            for other, drive in self.catalog.drives.items():
                lowest = max(solid.depth_to_um for solid in drive.solids)
                captive = shaft.mounting is Mounting.CAPTIVE
                needed = {
                    Mounting.CAPTIVE: lowest + shaft.standing_height_um,
                    Mounting.FROM_BELOW: shaft.standing_height_um,
                    Mounting.FROM_ABOVE: 0,
                }[shaft.mounting]
                standing = shaft.standing_height_um if captive else 0
                if needed > depth or not all(self._passes(piece, standing) for piece in drive.pieces):
                    self._never(sku, other)

    def _passes(self, piece: parts.Piece, standing: int) -> bool:
        """Longest side first: the other two sides go through the opening."""
        tall = piece.height_um + (standing if piece.carries_shaft else 0)
        sides = sorted([piece.length_um, piece.width_um, tall])[:2]
        opening = self.question["survey"]["opening"]
        if "round" in opening:
            return sides[0] ** 2 + sides[1] ** 2 <= um(opening["round"]) ** 2
        ways = sorted([um(opening["width"]), um(opening["height"])])
        return sides[0] <= ways[0] and sides[1] <= ways[1]

    def _duty(self) -> None:
        """Pull = torque x ratio / drum radius; 10 % lost must not overload, 35 % lost must still pull."""
        winch = self.winch
        for sku, drive in self.catalog.drives.items():
            lossless = drive.torque_mnm * winch.gear_ratios_milli[-1] / (winch.drum_diameter_um / 2)
            weak = lossless * 0.65 < winch.working_load_n * self.least_pull / 100 - 1e-6
            strong = (
                lossless * 0.9 > winch.working_load_n + 1e-6
                or drive.torque_mnm > winch.spindle_torque_max_mnm
            )
            one_way = not drive.reversible and len(winch.gear_ratios_milli) > 1
            if weak or strong or one_way or drive.max_press_ms < self.press_ms:
                self._never(sku)

    def _feed(self) -> None:
        boat, catalog = self.question["boat"], self.catalog
        volts_mv, control_mv = 1_000 * boat["motor_voltage"], 1_000 * boat["control_voltage"]
        for sku, controller in catalog.controllers.items():
            suits = control_mv in controller.control_voltages_mv and volts_mv in controller.motor_voltages_mv
            if not suits or not controller.plain_switches or controller.inputs < self.inputs:
                self._never(sku)
        for sku, switch in catalog.switches.items():
            if switch.max_voltage_mv < control_mv:
                self._never(sku)
        self._motors(volts_mv)

    def _motors(self, volts_mv: int) -> None:
        catalog = self.catalog
        for sku, drive in catalog.drives.items():
            if drive.motor_voltage_mv != volts_mv:
                self._never(sku)
            for other, controller in catalog.controllers.items():
                if (
                    controller.motor_leads != drive.motor_leads
                    or controller.max_current_ma < drive.peak_current_ma
                ):
                    self._never(sku, other)
            for other, breaker in catalog.breakers.items():
                if not self._breaker_suits(breaker, drive):
                    self._never(sku, other)

    def _breaker_suits(self, breaker: parts.Breaker, drive: parts.Drive) -> bool:
        percent = carried_percent(breaker.trips, self.press_ms)
        return (
            breaker.rating_ma * percent // 100 >= drive.peak_current_ma
            and breaker.rating_ma <= drive.largest_breaker_ma
            and breaker.max_voltage_mv >= CHARGING_MV.get(drive.motor_voltage_mv, 0)
        )

    # --- dates and rulings ---

    def _era(self) -> None:
        for sku in self.catalog.parts:
            if not self._to_be_had(sku) and not self._lifted(sku, Lifts.ERA):
                self._never(sku)
        for ruling in self.rulings:
            if ruling.kind is ExceptionKind.FORBID:
                self._never(*({ruling.sku, ruling.with_sku} - {""}))
            elif ruling.kind is ExceptionKind.REQUIRE:
                stand_ins = self._stand_ins(ruling.with_sku)
                self.model.add_bool_or(
                    [self.chosen[ruling.sku].negated(), *(self.chosen[one] for one in stand_ins)]
                )

    def _to_be_had(self, sku: str) -> bool:
        part, day = self.catalog.parts[sku], self.as_of
        gone = part.status is Status.WITHDRAWN and (part.withdrawn_on is None or part.withdrawn_on <= day)
        return not gone and (part.valid_from or day) <= day <= (part.valid_to or day)

    def _stand_ins(self, sku: str) -> set[str]:
        found = {sku}
        while True:
            more = {one.new for one in self.catalog.supersessions if one.old in found}
            more |= {one.old for one in self.catalog.supersessions if one.two_way and one.new in found}
            if more <= found:
                return found
            found |= more

    def _lifted(self, sku: str, lifts: Lifts) -> bool:
        return any(one.sku == sku and one.lifts is lifts for one in self.rulings)

    def _concerned(self, ruling: parts.CatalogException) -> bool:
        run = self.run
        if run is None or ruling.family not in {"", self.winch.family}:
            return False
        if ruling.model not in {"", self.winch.code} or ruling.run not in {"", run.code}:
            return False
        if not ruling.serial_from and not ruling.serial_to:
            return True
        serial = _number(self.question["winch"]["serial"])
        return (not ruling.serial_from or _number(ruling.serial_from) <= serial) and (
            not ruling.serial_to or serial <= _number(ruling.serial_to)
        )


def _solved(model: cp_model.CpModel) -> tuple[cp_model.CpSolver, cp_model.CpSolverStatus]:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    return solver, solver.solve(model)


def _number(serial: str) -> int:
    """Small catalogs have one prefix for all serials, so that the number alone compares."""
    return int(serial.rpartition("-")[2])


def _clockings(drive: parts.Drive) -> set[int]:
    return {
        (first + turn) % 3_600
        for first, last in drive.clockings_ddeg
        for turn in range((last - first) % 3_600 + 1)
    }


def carried_percent(trips: tuple[parts.TripRow, ...], press_ms: int) -> int:
    """The greatest whole percentage whose earliest trip, log-log between rows, comes after the press."""
    rows = sorted((row.percent, row.earliest_ms) for row in trips)
    best = 100
    for percent in range(101, rows[-1][0] + 1):
        if _earliest_ms(rows, percent) >= press_ms:
            best = percent
    return best


def _earliest_ms(rows: list[tuple[int, int]], percent: int) -> float:
    before = [row for row in rows if row[0] <= percent]
    after = [row for row in rows if row[0] >= percent]
    if not before:
        return after[0][1]
    (one, early), (other, late) = before[-1], after[0]
    if one == other:
        return early
    share = (math.log(percent) - math.log(one)) / (math.log(other) - math.log(one))
    return math.exp(math.log(early) + share * (math.log(late) - math.log(early)))
