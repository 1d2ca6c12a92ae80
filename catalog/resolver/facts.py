"""Facts of the boat: the set of worlds that a survey allows, and one world of it.

A world fixes every fact. ``survey_of`` turns a question into the set of worlds: a closed interval per
measured fact, a finite set per discrete one. A documented plausible range closes the ends that a survey
leaves open, and nothing else: a value outside it is accepted. Lengths are µm, angles tenths of a degree,
voltages mV.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from catalog.resolver.parts import Catalog, CatalogException, Plug, Run, SerialRule, WinchModel
from catalog.resolver.question import Question, SectorGiven, WinchGiven
from shared.errors import FaultyInput
from shared.intervals import FULL_CIRCLE, TURN, UNKNOWN, Arc, Interval
from shared.words import N_


class Direction(StrEnum):
    """How a gate reads a fact: which way makes it easier to pass."""

    MORE = "more is better"
    LESS = "less is better"
    BOTH = "both"
    SET = "set"


PLAUSIBLE: Mapping[str, Interval] = {
    "deck_thickness": Interval(1_000, 400_000),
    "depth_below_deck": Interval(0, 3_000_000),
    "free_radius": Interval(0, 3_000_000),
    "opening": Interval(0, 3_000_000),
    "pad_diameter": Interval(0, 1_000_000),
}
"""What closes an open end. The pad is at least the base of the winch that stands on it."""

MOTOR_VOLTAGES_MV = (12_000, 24_000, 48_000)
CONTROL_CHOICES_MV: Mapping[int, tuple[int, ...]] = {
    12_000: (12_000,),
    24_000: (12_000, 24_000),
    48_000: (12_000, 24_000),
}
"""What the switches can run at when nobody said: a 12 V bank has nothing else to offer, a 48 V motor needs
12 or 24 V control (common practice).
"""


class UnknownModel(FaultyInput):
    code = "unknown-model"
    title = N_("Unknown winch model")
    sentence = N_("The catalog has no winch model {given}.")
    advice = N_("Search the catalog for the model and use its code.")


class SerialYearConflict(FaultyInput):
    code = "serial-year-conflict"
    title = N_("Serial and year name different production runs")
    sentence = N_(
        "Serial {serial} belongs to {by_serial}, but {year} to {by_year}. One of the two is not this winch's."
    )


@dataclass(frozen=True, slots=True)
class Variant:
    """A production run together with the exceptions that hold for some stretch of its serials; run None: no
    run.
    """

    run: Run | None
    exceptions: tuple[CatalogException, ...] = ()


@dataclass(frozen=True, slots=True)
class OpeningSize:
    """A round opening has its diameter as both width and height."""

    round: bool
    width_um: int
    height_um: int


@dataclass(frozen=True, slots=True)
class World:
    """Every fact fixed. Closed arcs of ``free_radius`` cover the circle; a shared bound is in both."""

    variant: Variant
    plug_present: bool
    deck_thickness_um: int
    depth_below_deck_um: int
    free_radius: tuple[tuple[Arc, int], ...]
    datum_ddeg: int
    opening: OpeningSize
    pad_diameter_um: int
    motor_voltage_mv: int
    control_voltage_mv: int


@dataclass(frozen=True, slots=True)
class Sector:
    arc: Arc
    radius: Interval


@dataclass(frozen=True, slots=True)
class Survey:
    """The set of worlds. Every interval is bounded; ``voltages_mv`` holds (motor, control) pairs."""

    model: WinchModel
    variants: tuple[Variant, ...]
    plugs: tuple[bool, ...]
    deck_thickness: Interval
    depth_below_deck: Interval
    sectors: tuple[Sector, ...]
    datum: Arc
    opening_round: bool
    opening_width: Interval
    opening_height: Interval
    pad_diameter: Interval
    voltages_mv: tuple[tuple[int, int], ...]
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class WinchIndex:
    """Production runs by model, and exceptions by what they are ruled for, so that one question reads few
    of them.
    """

    runs: Mapping[str, tuple[Run, ...]]
    exceptions: Mapping[tuple[str, str], tuple[CatalogException, ...]]

    @classmethod
    def of(cls, catalog: Catalog) -> WinchIndex:
        runs: dict[str, list[Run]] = {}
        for run in catalog.runs.values():
            runs.setdefault(run.model, []).append(run)
        exceptions: dict[tuple[str, str], list[CatalogException]] = {}
        for one in catalog.exceptions:
            scope = (
                ("run", one.run) if one.run else ("model", one.model) if one.model else ("family", one.family)
            )
            exceptions.setdefault(scope, []).append(one)
        return cls(
            {model: tuple(sorted(found, key=lambda run: run.code)) for model, found in runs.items()},
            {scope: tuple(found) for scope, found in exceptions.items()},
        )

    def ruling(self, run: Run, model: WinchModel) -> list[CatalogException]:
        """The exceptions in whose scope the run lies, whatever their serials, by code."""
        scopes = (("run", run.code), ("model", model.code), ("family", model.family))
        return sorted(
            (one for scope in scopes for one in self.exceptions.get(scope, ())), key=lambda one: one.code
        )


def survey_of(question: Question, catalog: Catalog, index: WinchIndex | None = None) -> Survey:
    """The worlds that ``question`` allows. Raises ``UnknownModel`` or ``SerialYearConflict``."""
    model = catalog.models.get(question.winch.model)
    if model is None:
        raise UnknownModel(given=question.winch.model, pointer="/winch/model")
    given = question.survey
    variants = variants_of(index or WinchIndex.of(catalog), model, question.winch)
    opening = given.opening
    sectors, overlap = tighter_sectors(given.free_radius)
    pad = Interval(model.base_diameter_um, PLAUSIBLE["pad_diameter"].high)
    return Survey(
        model=model,
        variants=variants,
        plugs=plugs_of(variants, question.winch.plug_present),
        deck_thickness=given.deck_thickness.closed_by(PLAUSIBLE["deck_thickness"]),
        depth_below_deck=given.depth_below_deck.closed_by(PLAUSIBLE["depth_below_deck"]),
        sectors=sectors,
        datum=FULL_CIRCLE if given.datum_bearing is None else given.datum_bearing,
        opening_round=True if opening is None else opening.round,
        opening_width=(UNKNOWN if opening is None else opening.width).closed_by(PLAUSIBLE["opening"]),
        opening_height=(UNKNOWN if opening is None else opening.height).closed_by(PLAUSIBLE["opening"]),
        pad_diameter=given.pad_diameter.closed_by(pad),
        voltages_mv=voltages_of(question.boat.motor_voltage, question.boat.control_voltage),
        remarks=("sectors-overlap",) if overlap else (),
    )


def plugs_of(variants: tuple[Variant, ...], given: bool | None) -> tuple[bool, ...]:
    """Whether the closing plug is there: what was said, else both where a run has one, else no plug."""
    if given is not None:
        return (given,)
    plugged = any(variant.run is not None and variant.run.plug is not Plug.NONE for variant in variants)
    return (True, False) if plugged else (False,)


def voltages_of(motor: int | None, control: int | None) -> tuple[tuple[int, int], ...]:
    """Every (motor, control) voltage in mV that what is given (in V) leaves open."""
    motors = MOTOR_VOLTAGES_MV if motor is None else (motor * 1000,)
    return tuple(
        (volts, control_volts)
        for volts in motors
        for control_volts in (CONTROL_CHOICES_MV[volts] if control is None else (control * 1000,))
    )


def tighter_sectors(given: tuple[SectorGiven, ...]) -> tuple[tuple[Sector, ...], bool]:
    """Sectors that cover the circle without overlap, and whether any overlapped.

    Where several hold, the tighter one counts; where none holds, the radius is unknown.
    """
    closing = PLAUSIBLE["free_radius"]
    whole = [sector for sector in given if sector.arc.is_full]
    bounds = sorted({bound for one in given if not one.arc.is_full for bound in (one.arc.start, one.arc.end)})
    if not bounds:
        radius, overlap = _tightest([sector.radius for sector in whole])
        return (Sector(FULL_CIRCLE, radius.closed_by(closing)),), overlap
    found: list[Sector] = []
    overlaps = False
    for start, end in pairwise([*bounds, bounds[0] + TURN]):
        cell = Arc(start, end - start)
        radius, overlap = _tightest([one.radius for one in given if one.arc.covers(cell)])
        overlaps = overlaps or overlap
        found.append(Sector(cell, radius.closed_by(closing)))
    return tuple(found), overlaps


def _tightest(radii: list[Interval]) -> tuple[Interval, bool]:
    if not radii:
        return UNKNOWN, False
    closed = [radius.closed_by(PLAUSIBLE["free_radius"]) for radius in radii]
    low = min(radius.low or 0 for radius in closed)
    high = min(radius.high or 0 for radius in closed)
    return Interval(low, high), len(radii) > 1


# Production runs and serials ----------------------------------------------------------------------

SerialKey = tuple[str, int]
_PREFIX_NUMBER = re.compile(r"([A-Za-z]*)[ -]?([0-9]{1,12})")
_NUMBER = re.compile(r"()([0-9]{1,12})")


def serial_key(rule: SerialRule, serial: str) -> SerialKey | None:
    """A serial as it compares within a run: by letters, then number. None when the rule cannot read it."""
    if rule is SerialRule.NONE:
        return None
    pattern = _NUMBER if rule is SerialRule.NUMBER else _PREFIX_NUMBER
    found = pattern.fullmatch(serial.strip())
    return (found[1].upper(), int(found[2])) if found else None


def _within(rule: SerialRule, key: SerialKey, low: str, high: str) -> bool:
    low_key, high_key = serial_key(rule, low), serial_key(rule, high)
    return (low_key is None or low_key <= key) and (high_key is None or key <= high_key)


def variants_of(index: WinchIndex, model: WinchModel, winch: WinchGiven) -> tuple[Variant, ...]:
    """Every (run, exceptions) that year and serial leave open; a single one without a run when none is
    left.
    """
    runs = index.runs.get(model.code, ())
    by_year = [run for run in runs if winch.year is None or _built_in(run, winch.year)]
    by_serial = [run for run in runs if winch.serial is None or _numbered(run, winch.serial)]
    both = [run for run in by_year if run in by_serial]
    if not both:
        if by_year and by_serial:
            raise SerialYearConflict(
                serial=winch.serial,
                year=winch.year,
                by_serial=", ".join(run.code for run in by_serial),
                by_year=", ".join(run.code for run in by_year),
                pointer="/winch/serial",
            )
        return (Variant(run=None),)
    found: dict[Variant, None] = {}
    for run in both:
        for chosen in _serial_classes(run, index.ruling(run, model), winch.serial):
            found[Variant(run, chosen)] = None
    return tuple(found)


def _built_in(run: Run, year: int) -> bool:
    return run.year_from <= year and (run.year_to is None or year <= run.year_to)


def _numbered(run: Run, serial: str) -> bool:
    """Whether the serial can be of this run; a run without a rule tells nothing by its serials."""
    if run.serial_rule is SerialRule.NONE:
        return True
    key = serial_key(run.serial_rule, serial)
    return key is not None and _within(run.serial_rule, key, run.serial_from, run.serial_to)


def _serial_classes(
    run: Run, rulings: list[CatalogException], serial: str | None
) -> Iterable[tuple[CatalogException, ...]]:
    """The sets of exceptions that hold together for some serial of the run (for the given one: one set)."""
    bounded = [one for one in rulings if one.serial_from or one.serial_to]
    always = [one for one in rulings if one not in bounded]
    if not bounded:
        return [tuple(always)]
    if run.serial_rule is SerialRule.NONE:
        # Serials that do not compare place a winch nowhere: it may be among those concerned or not.
        return [tuple(always), tuple(rulings)]
    if serial is not None:
        keys = [key] if (key := serial_key(run.serial_rule, serial)) else []
    else:
        keys = _representatives(run, bounded)
    return [
        tuple(
            one
            for one in rulings
            if one in always or _within(run.serial_rule, key, one.serial_from, one.serial_to)
        )
        for key in keys
    ]


def _representatives(run: Run, bounded: list[CatalogException]) -> list[SerialKey]:
    """One serial from every stretch between the bounds of the exceptions, within the run's own serials."""
    rule = run.serial_rule
    first = serial_key(rule, run.serial_from) or ("", 0)
    starts = {first}
    for one in bounded:
        if (low := serial_key(rule, one.serial_from)) is not None:
            starts.add(low)
        if (high := serial_key(rule, one.serial_to)) is not None:
            starts.add((high[0], high[1] + 1))
    ordered = sorted(starts)
    last = serial_key(rule, run.serial_to)
    return [key for key in ordered[bisect_right(ordered, first) - 1 :] if last is None or key <= last]
