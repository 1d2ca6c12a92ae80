"""The question, as a person or program asks it: JSON in, one frozen value out.

A question has three kinds of field. A *fact* that is absent is unknown, and every value of it must be
answered for. A *wish* that is absent is ours to choose. An *assumption* that is absent takes a documented
default, which the answer lists. All faults are found in one reading; each has a JSON pointer to its place.
``normalised`` gives the canonical form: lengths in mm, rounded outward to 1 µm, and nothing that was not
said.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from catalog.resolver.faults import (
    ContradictoryLength,
    EmptySector,
    MissingField,
    NegativeLength,
    NotADate,
    NotAList,
    NotAnObject,
    NotANumberHere,
    NotOneOf,
    NotText,
    OutOfBounds,
    TooManySectors,
    UnclearLength,
    UnclearOpening,
    UnknownField,
    UnknownSchema,
)
from shared.errors import Faults
from shared.intervals import FULL_CIRCLE, TURN, UNKNOWN, Arc, Interval
from shared.money import places_of
from shared.units import (
    Unit,
    UnknownUnit,
    as_mm,
    bearing_tenths,
    ceil_um,
    floor_um,
    read_length,
    read_number,
    tenths_of_degree,
)

SCHEMA = 1
MOST_SECTORS = 72
MOST_KITS = 50
LONGEST_TEXT = 80
LONGEST_UM = 1_000_000_000
"""A kilometre: beyond anything on a boat, and little enough that sums with it stay in 64 bits."""
MOTOR_VOLTAGES = (12, 24, 48)
CONTROL_VOLTAGES = (12, 24)
DRIVES = ("any", "in-line", "right-angle")
HANDS = ("any", "left", "right")
RANKINGS = ("price", "lead-time", "margin")
PLUGS = ("present", "absent")
CHANGES = (
    "other-hand",
    "other-clocking",
    "opening-enlarged",
    "recess",
    "pad",
    "other-voltage",
    "withdrawn-part-allowed",
)


@dataclass(frozen=True, slots=True)
class SectorGiven:
    """A stretch of bearings on the boat and the free radius measured in it, in µm from the shaft's axis."""

    arc: Arc
    radius: Interval


@dataclass(frozen=True, slots=True)
class OpeningGiven:
    """The opening that pieces go through, in µm. A round one has its diameter as both width and height."""

    round: bool
    width: Interval
    height: Interval


@dataclass(frozen=True, slots=True)
class WinchGiven:
    model: str
    year: int | None = None
    serial: str | None = None
    plug_present: bool | None = None


@dataclass(frozen=True, slots=True)
class SurveyGiven:
    """Facts of the spot as they were given; ``UNKNOWN`` or None is not known. Lengths in µm."""

    deck_thickness: Interval = UNKNOWN
    depth_below_deck: Interval = UNKNOWN
    free_radius: tuple[SectorGiven, ...] = ()
    datum_bearing: Arc | None = None
    opening: OpeningGiven | None = None
    pad_diameter: Interval = UNKNOWN


@dataclass(frozen=True, slots=True)
class BoatGiven:
    motor_voltage: int | None = None
    control_voltage: int | None = None


@dataclass(frozen=True, slots=True)
class Wishes:
    drive: str = "any"
    hand: str = "any"
    rank_by: str = "price"
    currency: str = "EUR"
    kits: int = 5
    may_alter: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class Assumptions:
    """What an answer takes for granted unless told otherwise; the defaults are listed under ``assumed``."""

    press_seconds: int = 15
    switch_inputs: int = 2
    bedding_um: int = 0
    least_pull_percent: int = 40


@dataclass(frozen=True, slots=True)
class Question:
    winch: WinchGiven
    as_of: date
    survey: SurveyGiven = field(default_factory=SurveyGiven)
    boat: BoatGiven = field(default_factory=BoatGiven)
    wishes: Wishes = field(default_factory=Wishes)
    assumptions: Assumptions = field(default_factory=Assumptions)
    assumed: tuple[str, ...] = ()
    revision: int | None = None


def read_question(data: object, *, today: date | None = None) -> Question:
    """Read a question from parsed JSON (numbers as int or Decimal).

    ``today`` fills ``as_of`` where it is absent; without either, ``as_of`` is missing. Raises
    ``FaultyInput`` (or ``ManyFaults``) with pointers. Whether the model exists is not looked at here.
    """
    faults = Faults()
    top = _object(
        data, ("schema", "winch", "survey", "boat", "wishes", "assumptions", "as_of", "revision"), faults
    )
    parts: dict[str, Any] = {}
    with faults.at("schema"):
        _schema(top.get("schema"))
    _into(parts, "winch", faults, lambda: _winch(top.get("winch")))
    _into(parts, "survey", faults, lambda: _survey(top.get("survey")))
    _into(parts, "boat", faults, lambda: _boat(top.get("boat")))
    _into(parts, "wishes", faults, lambda: _wishes(top.get("wishes")))
    _into(parts, "assumptions", faults, lambda: _assumptions(top.get("assumptions")))
    _into(parts, "as_of", faults, lambda: _date(top.get("as_of"), today))
    _into(parts, "revision", faults, lambda: _optional(top.get("revision"), _whole(1, 10**9)))
    faults.raise_if_any()
    given = top.get("assumptions") or {}
    assumed = tuple(name for name in _ASSUMPTIONS if given.get(name) is None)
    return Question(**parts, assumed=assumed)


def _into(parts: dict[str, Any], name: str, faults: Faults, read: Callable[[], object]) -> None:
    with faults.at(name):
        parts[name] = read()


def _object(data: object, known: tuple[str, ...], faults: Faults) -> Mapping[str, Any]:
    """``data`` as a mapping; a stranger among its fields is a fault of its own."""
    if data is None:
        return {}
    if not isinstance(data, Mapping):
        raise NotAnObject(given=_kind(data))
    for name in data:
        if name not in known:
            with faults.at(str(name)):
                raise UnknownField(given=str(name), known=", ".join(known))
    return data


def _kind(value: object) -> str:
    names = {bool: "true or false", list: "a list", str: "a text", type(None): "nothing"}
    return names.get(type(value), "an object" if isinstance(value, Mapping) else "a number")


def _optional[T](value: object, read: Callable[[object], T]) -> T | None:
    return None if value is None else read(value)


def _schema(value: object) -> None:
    if value is None:
        raise MissingField(name="schema")
    if value != SCHEMA or isinstance(value, bool):
        raise UnknownSchema(given=str(value))


def _text(value: object) -> str:
    if (
        not isinstance(value, str)
        or len(value) > LONGEST_TEXT
        or not value.strip()
        or not value.isprintable()
    ):
        raise NotText(
            given=_kind(value) if not isinstance(value, str) else "an empty, long or unprintable one"
        )
    return value.strip()


def _number(value: object) -> Decimal | int:
    if isinstance(value, bool) or not isinstance(value, (int, Decimal)):
        raise NotANumberHere(given=_kind(value))
    return value


def _whole(low: int, high: int) -> Callable[[object], int]:
    def read(value: object) -> int:
        number = read_number(_number(value))
        if number.denominator != 1 or not low <= number <= high:
            raise OutOfBounds(given=str(value), low=low, high=high)
        return number.numerator

    return read


def _one_of(choices: tuple[str, ...]) -> Callable[[object], str]:
    def read(value: object) -> str:
        if not isinstance(value, str) or value not in choices:
            raise NotOneOf(given=str(value), choices=", ".join(choices))
        return value

    return read


def _volts(choices: tuple[int, ...]) -> Callable[[object], int]:
    def read(value: object) -> int:
        number = _number(value)
        if number not in choices:
            raise NotOneOf(given=str(value), choices=", ".join(map(str, choices)))
        return int(number)

    return read


def _date(value: object, today: date | None) -> date:
    if value is None:
        if today is None:
            raise MissingField(name="as_of")
        return today
    if not isinstance(value, str):
        raise NotADate(given=_kind(value))
    try:
        day = date.fromisoformat(value)
    except ValueError:
        raise NotADate(given=value) from None
    if day.isoformat() != value:  # ISO 8601 has other forms too, such as weeks
        raise NotADate(given=value)
    return day


def _fields(
    data: object, known: Mapping[str, Callable[[object], Any]], needed: tuple[str, ...] = ()
) -> dict[str, Any]:
    """Read each present field with its reader; all faults of the section are raised together."""
    faults = Faults()
    section = _object(data, tuple(known), faults)
    for name in needed:
        if section.get(name) is None:
            with faults.at(name):
                raise MissingField(name=name)
    read: dict[str, Any] = {}
    for name, reader in known.items():
        if section.get(name) is not None:
            with faults.at(name):
                read[name] = reader(section[name])
    faults.raise_if_any()
    return read


def _winch(data: object) -> WinchGiven:
    known = {"model": _text, "year": _whole(1900, 2100), "serial": _text, "plug": _one_of(PLUGS)}
    read = _fields(data, known, needed=("model",))
    plug = read.get("plug")
    return WinchGiven(
        model=read["model"],
        year=read.get("year"),
        serial=read.get("serial"),
        plug_present=None if plug is None else plug == "present",
    )


def _survey(data: object) -> SurveyGiven:
    read = _fields(
        data,
        {
            "deck_thickness": _length,
            "depth_below_deck": _length,
            "free_radius": _sectors,
            "datum_bearing": _bearing,
            "opening": _opening,
            "pad_diameter": _length,
        },
    )
    return SurveyGiven(**read)


def _boat(data: object) -> BoatGiven:
    known = {"motor_voltage": _volts(MOTOR_VOLTAGES), "control_voltage": _volts(CONTROL_VOLTAGES)}
    return BoatGiven(**_fields(data, known))


def _wishes(data: object) -> Wishes:
    known = {
        "drive": _one_of(DRIVES),
        "hand": _one_of(HANDS),
        "rank_by": _one_of(RANKINGS),
        "currency": _currency,
        "kits": _whole(0, MOST_KITS),
        "may_alter": _changes,
    }
    return Wishes(**_fields(data, known))


def _currency(value: object) -> str:
    code = _text(value)
    places_of(code)
    return code


def _changes(value: object) -> tuple[str, ...]:
    if not isinstance(value, list):
        raise NotAList(given=_kind(value))
    read = _one_of(CHANGES)
    faults = Faults()
    found: set[str] = set()
    for index, change in enumerate(value):
        with faults.at(index):
            found.add(read(change))
    faults.raise_if_any()
    return tuple(sorted(found))


def _bedding(value: object) -> int:
    length = read_length(_number(value))
    if not 0 <= length <= 50_000:
        raise OutOfBounds(given=str(value), low="0 mm", high="50 mm")
    return ceil_um(length)


_ASSUMPTIONS: Mapping[str, Callable[[object], int]] = {
    "press_seconds": _whole(1, 600),
    "switch_inputs": _whole(1, 16),
    "bedding": _bedding,
    "least_pull_percent": _whole(0, 100),
}


def _assumptions(data: object) -> Assumptions:
    read = _fields(data, _ASSUMPTIONS)
    if "bedding" in read:
        read["bedding_um"] = read.pop("bedding")
    return Assumptions(**read)


def _length(data: object) -> Interval:
    """A measured length as µm, rounded outward."""
    if not isinstance(data, Mapping):
        raise UnclearLength
    faults = Faults()
    given = _object(data, ("value", "plus_minus", "at_least", "at_most", "unit"), faults)
    unit = Unit.MM
    with faults.at("unit"):
        unit = _unit(given.get("unit"))
    um = {}
    for name in ("value", "plus_minus", "at_least", "at_most"):
        if given.get(name) is not None:
            with faults.at(name):
                um[name] = _um(given[name], unit)
    faults.raise_if_any()
    names = set(um)
    if names in ({"value"}, {"value", "plus_minus"}):
        return _around(um["value"], um.get("plus_minus", Fraction(0)))
    if not names or not names <= {"at_least", "at_most"}:
        raise UnclearLength
    low, high = um.get("at_least"), um.get("at_most")
    if low is not None and high is not None and low > high:
        raise ContradictoryLength(low=str(given["at_least"]), high=str(given["at_most"]))
    return Interval(None if low is None else floor_um(low), None if high is None else ceil_um(high))


def _around(middle: Fraction, spread: Fraction) -> Interval:
    """What a spread adds below zero, or beyond what is read at all, is left out."""
    return Interval(max(0, floor_um(middle - spread)), min(ceil_um(middle + spread), LONGEST_UM))


def _unit(value: object) -> Unit:
    """The unit by its name alone; people's signs for inches belong to what people type."""
    if value is None:
        return Unit.MM
    if not isinstance(value, str) or value not in tuple(Unit):
        raise UnknownUnit(given=str(value))
    return Unit(value)


def _um(value: object, unit: Unit) -> Fraction:
    length = read_length(_number(value), unit)
    if length < 0:
        raise NegativeLength(given=str(value))
    if length > LONGEST_UM:
        raise OutOfBounds(given=str(value), low="0 mm", high=f"{LONGEST_UM // 1000} mm")
    return length


def _bearing(data: object) -> Arc:
    """A bearing with its hard bound, as a closed arc in tenths of a degree, rounded outward."""
    faults = Faults()
    given = _object(data, ("value", "plus_minus"), faults)
    with faults.at("value"):
        if given.get("value") is None:
            raise MissingField(name="value")
        value = tenths_of_degree(_number(given["value"]))
        if not 0 <= value <= TURN:
            raise OutOfBounds(given=str(given["value"]), low=0, high=360)
    with faults.at("plus_minus"):
        spread = tenths_of_degree(_number(0 if given.get("plus_minus") is None else given["plus_minus"]))
        if not 0 <= spread <= TURN // 2:
            raise OutOfBounds(given=str(given["plus_minus"]), low=0, high=180)
    faults.raise_if_any()
    low, high = floor_um(value - spread), ceil_um(value + spread)
    return Arc(low, min(high - low, TURN))


def _sectors(data: object) -> tuple[SectorGiven, ...]:
    if not isinstance(data, list):
        raise NotAList(given=_kind(data))
    if len(data) > MOST_SECTORS:
        raise TooManySectors(given=len(data), most=MOST_SECTORS)
    faults = Faults()
    found: list[SectorGiven] = []
    for index, sector in enumerate(data):
        with faults.at(index):
            found.append(_sector(sector))
    faults.raise_if_any()
    return tuple(sorted(found, key=_by_place))


def _by_place(sector: SectorGiven) -> tuple[int, ...]:
    """An order of its own for every two that differ, so that the order given does not matter."""
    low, high = (-1 if end is None else end for end in (sector.radius.low, sector.radius.high))
    return (sector.arc.start, sector.arc.length, low, high)


def _sector(data: object) -> SectorGiven:
    if not isinstance(data, Mapping):
        raise NotAnObject(given=_kind(data))
    known = {"from": _sector_bound, "to": _sector_bound, "radius": _length}
    read = _fields(data, known, needed=tuple(known))
    start, end = read["from"], read["to"]
    if start == end:
        raise EmptySector(given=str(data["from"]))
    whole = abs(end - start) == TURN
    return SectorGiven(FULL_CIRCLE if whole else Arc.between(start, end), read["radius"])


def _sector_bound(value: object) -> int:
    return bearing_tenths(_number(value))


def _opening(data: object) -> OpeningGiven:
    read = _fields(data, {"round": _length, "width": _length, "height": _length})
    if set(read) == {"round"}:
        return OpeningGiven(round=True, width=read["round"], height=read["round"])
    if set(read) == {"width", "height"}:
        return OpeningGiven(round=False, width=read["width"], height=read["height"])
    raise UnclearOpening


def normalised(question: Question) -> dict[str, Any]:
    """The canonical JSON form of a question: reading it gives an equal question, but for ``assumed``."""
    return _dropped_empty(
        {
            "schema": SCHEMA,
            "winch": {
                "model": question.winch.model,
                "year": question.winch.year,
                "serial": question.winch.serial,
                "plug": {None: None, True: "present", False: "absent"}[question.winch.plug_present],
            },
            "survey": _survey_json(question.survey),
            "boat": {
                "motor_voltage": question.boat.motor_voltage,
                "control_voltage": question.boat.control_voltage,
            },
            "wishes": _wishes_json(question.wishes),
            "assumptions": {
                "press_seconds": question.assumptions.press_seconds,
                "switch_inputs": question.assumptions.switch_inputs,
                "bedding": mm(question.assumptions.bedding_um),
                "least_pull_percent": question.assumptions.least_pull_percent,
            },
            "as_of": question.as_of.isoformat(),
            "revision": question.revision,
        }
    )


def _dropped_empty(value: dict[str, Any]) -> dict[str, Any]:
    kept = {}
    for name, one in value.items():
        inner = _dropped_empty(one) if isinstance(one, dict) else one
        if inner is not None and inner != {}:
            kept[name] = inner
    return kept


def _wishes_json(wishes: Wishes) -> dict[str, Any]:
    return {
        "drive": wishes.drive,
        "hand": wishes.hand,
        "rank_by": wishes.rank_by,
        "currency": wishes.currency,
        "kits": wishes.kits,
        "may_alter": None if wishes.may_alter is None else list(wishes.may_alter),
    }


def _survey_json(survey: SurveyGiven) -> dict[str, Any]:
    opening = survey.opening
    return {
        "deck_thickness": length_json(survey.deck_thickness),
        "depth_below_deck": length_json(survey.depth_below_deck),
        "free_radius": [_sector_json(sector) for sector in survey.free_radius] or None,
        "datum_bearing": None if survey.datum_bearing is None else _arc_json(survey.datum_bearing),
        "opening": None if opening is None else _opening_json(opening),
        "pad_diameter": length_json(survey.pad_diameter),
    }


def _opening_json(opening: OpeningGiven) -> dict[str, Any]:
    if opening.round:
        return {"round": length_json(opening.width)}
    return {"width": length_json(opening.width), "height": length_json(opening.height)}


def _sector_json(sector: SectorGiven) -> dict[str, Any]:
    arc = sector.arc
    end = TURN if arc.is_full else (arc.start + arc.length) % TURN or TURN
    return {"from": _plain(arc.start, 10), "to": _plain(end, 10), "radius": length_json(sector.radius)}


def _arc_json(arc: Arc) -> dict[str, Any]:
    value = (arc.start * 2 + arc.length) % (2 * TURN)
    return {"value": _plain(value, 20)} | ({"plus_minus": _plain(arc.length, 20)} if arc.length else {})


def length_json(length: Interval) -> dict[str, Any] | None:
    """A measured length as JSON in mm; None when nothing is known."""
    if length.low is not None and length.low == length.high:
        return {"value": mm(length.low)}
    given = {"at_least": length.low, "at_most": length.high}
    return {name: mm(um) for name, um in given.items() if um is not None} or None


def mm(length_um: int) -> int | float:
    """Micrometres as a JSON number in mm: an int where it is whole, else the shortest decimal that is
    exact.
    """
    number = as_mm(length_um)
    return int(number) if number == number.to_integral_value() else float(number)


def _plain(number: int, divisor: int) -> int | float:
    return number // divisor if number % divisor == 0 else number / divisor
