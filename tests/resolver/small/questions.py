"""Random questions about a small catalog, most of them decided by a millimetre.

A question is drawn around a *target*: some run, adapter, shaft, drive and stack that mate. Each fact is then
put where the target just passes, just fails, or may do either. How often facts fail and how often they are
uncertain is itself drawn, so that there are benign, mixed and hopeless questions.
"""

from dataclasses import dataclass
from math import hypot
from random import Random
from typing import Any

from catalog.resolver import parts
from catalog.resolver.parts import Box, Drive, DriveHand, DriveType, Mounting, SerialRule
from tests.resolver.small.luck import AS_OF, chance
from tests.resolver.small.targets import Target, draw_target
from tests.resolver.small.worlds import worlds

Json = dict[str, Any]

MOST_WORLDS = 6_000


@dataclass(frozen=True)
class Mood:
    """How likely (in percent) a fact is uncertain, and how likely it is bad for the target."""

    rng: Random
    uncertain: int
    bad: int

    def at_least(self, need: int, floor: int = 0) -> Json | None:
        """A length that is the better the more it is, with the target's need of it; None: unknown."""
        rng = self.rng
        far = rng.choice((0, 0, 1, 2, 5, 30))
        if chance(rng, self.bad):
            return self._short(need, rng.choice((1, 1, 2, 5)), floor)
        if not chance(rng, self.uncertain):
            return _one_of(rng, {"value": need + far}, {"at_least": need + far}, _around(need + far + 2, 2))
        spread = rng.choice((1, 2, 3))
        low = max(floor, need - spread + rng.choice((0, 0, 1)))
        return _one_of(
            rng,
            None,
            _around(need + spread - 1, spread),
            {"at_least": low},
            _from_to(low, max(low, need + far)),
        )

    def _short(self, need: int, by: int, floor: int) -> Json:
        most = max(floor, need - by)
        return _one_of(
            self.rng,
            {"value": most},
            {"at_most": most},
            _from_to(max(floor, most - 4), most),
            _around(most - 1, 1),
        )


def _one_of[T](rng: Random, *choices: T) -> T:
    return rng.choice(choices)


def _around(middle: int, spread: int) -> Json:
    return {"value": max(0, middle), "plus_minus": spread}


def _from_to(low: int, high: int) -> Json:
    return {"at_least": low, "at_most": high}


def small_question(rng: Random, catalog: parts.Catalog) -> Json:
    """Draw a question as parsed JSON, every number an int, that allows at most a few thousand worlds."""
    mood = Mood(rng, rng.choice((0, 5, 15, 35)), rng.choice((0, 0, 0, 0, 2, 5)))
    target = draw_target(rng, catalog)
    question: Json = {
        "schema": 1,
        "winch": _winch(mood, catalog, target),
        "survey": _survey(mood, catalog, target),
        "boat": _boat(mood, target.drive),
        "wishes": _wishes(rng, target.drive),
        "assumptions": _assumptions(rng),
        "as_of": AS_OF.isoformat(),
    }
    _narrow(rng, catalog, target, question)
    return question


# --- the winch and the boat ----------------------------------------


def _winch(mood: Mood, catalog: parts.Catalog, target: Target) -> Json:
    """Year and serial of the target's run, or a year of no run or of another, then without a serial."""
    rng, run = mood.rng, target.run
    plug = None if chance(rng, mood.uncertain) else rng.choice(("absent", "absent", "present"))
    if chance(rng, mood.bad / 2):
        return {"model": run.model, "year": rng.choice((1979, 1975, 2020)), "serial": None, "plug": plug}
    year: int | None = rng.randint(run.year_from, run.year_to or run.year_from + 5)
    serial = None if chance(rng, max(mood.uncertain, 30)) else _serial(rng, catalog, run)
    # The year alone may leave two runs open, and neither leaves open all of them.
    if chance(rng, mood.uncertain + (40 if serial else 0)):
        year = None
    return {"model": run.model, "year": year, "serial": serial, "plug": plug}


def _serial(rng: Random, catalog: parts.Catalog, run: parts.Run) -> str | None:
    """A serial of the run: at its start, somewhere in it, or at an end of an exception's stretch."""
    if run.serial_rule is SerialRule.NONE or not run.serial_from:
        return None
    prefix, number = run.serial_from.rpartition("-")[::2]
    first = int(number)
    ends = [
        end
        for one in catalog.exceptions
        if one.run == run.code
        for end in (one.serial_from, one.serial_to)
        if end
    ]
    inside = [int(end.rpartition("-")[2]) for end in ends]
    near = [one + by for one in inside for by in (-1, 0, 1) if first <= one + by <= first + 999]
    chosen = rng.choice([first, first + rng.randrange(1_000), *near])
    return f"{prefix}-{chosen}" if prefix else str(chosen)


def _boat(mood: Mood, drive: Drive) -> Json:
    rng = mood.rng
    volts: int | None = drive.motor_voltage_mv // 1_000 or 12
    if chance(rng, mood.bad):
        volts = rng.choice([one for one in (12, 24, 48) if one != volts])
    control: int | None = volts if volts == 12 else rng.choice((12, 24))
    if chance(rng, mood.uncertain):
        volts = None
    if chance(rng, max(25, mood.uncertain)):
        control = None
    return {"motor_voltage": volts, "control_voltage": control}


def _wishes(rng: Random, drive: Drive) -> Json:
    hands = {DriveHand.LEFT: "left", DriveHand.RIGHT: "right"}
    wishes: Json = {
        "rank_by": rng.choice(("price", "price", "lead-time", "margin")),
        "currency": "EUR",
        "kits": rng.choice((0, 1, 3, 5)),
    }
    if chance(rng, 15):
        wishes["drive"] = drive.drive_type.value if chance(rng, 70) else rng.choice(tuple(DriveType)).value
    if chance(rng, 25):
        wishes["hand"] = hands.get(drive.hand, "left") if chance(rng, 70) else rng.choice(("left", "right"))
    return wishes


def _assumptions(rng: Random) -> Json:
    given: Json = {}
    if chance(rng, 20):
        given["press_seconds"] = rng.choice((5, 10, 14, 15, 16))
    if chance(rng, 15):
        given["switch_inputs"] = rng.choice((1, 2, 2, 3))
    if chance(rng, 15):
        given["least_pull_percent"] = rng.choice((20, 45, 60, 60))
    if chance(rng, 8):
        given["bedding"] = 1
    return given


# --- the survey ----------------------------------------


def _survey(mood: Mood, catalog: parts.Catalog, target: Target) -> Json:
    base = catalog.models[target.run.model].base_diameter_um // 1_000
    return {
        "deck_thickness": _deck(mood, target),
        "depth_below_deck": mood.at_least(target.depth),
        **_surroundings(mood, target.drive, target.datum),
        "opening": _opening(mood, target),
        "pad_diameter": mood.at_least(target.adapter.footprint_um // 1_000, base),
    }


def _deck(mood: Mood, target: Target) -> Json | None:
    """A deck inside the target's band, on its edge, over its edge, wider than it, or beside it."""
    rng = mood.rng
    low, high = target.band
    middle = rng.randint(low, high)
    if chance(rng, mood.bad):
        beside = rng.choice((low - 1, high + 1, low - 3, high + 3, high + 8))
        return {"value": max(1, beside)}
    if target.further != target.band and chance(rng, 80):
        first, last = target.further
        return _from_to(
            rng.randint(max(low, first - 4), first - 1), rng.randint(high + 1, min(high + 4, last))
        )
    if chance(rng, 35):
        return {"value": rng.choice((low, high, middle))}
    if chance(rng, mood.uncertain):
        ends = ({"at_least": low}, {"at_most": high}, None)
        return _one_of(rng, _from_to(max(1, low - 6), high + 6), _around(high, 4), *ends)
    near = rng.choice((0, 0, 1, 2))
    return _one_of(
        rng,
        _from_to(low, high),
        _from_to(low, high + near),
        _from_to(max(1, low - near), high),
        _from_to(middle, high + near),
        _around(middle, rng.choice((1, 2))) if middle > 2 else {"value": middle},
    )


def _surroundings(mood: Mood, drive: Drive, datum: int) -> Json:
    """The free radius by sectors and the bearing of the datum, so that the motor has a place to point to."""
    rng = mood.rng
    reach, hub = _reach(drive), 1 + max(_hub(solid) for solid in drive.solids) // 1_000
    clocking = rng.choice(drive.clockings_ddeg)[0] // 10
    bearing = (datum + clocking) % 360
    # A motor that stands off to one side leaves room on the other, right up to its own bearing.
    before, width = rng.choice((0, 10, 30, 60, 60, 90)), rng.choice((150, 180, 210, 240))
    leftward = drive.hand is DriveHand.LEFT or (drive.hand is DriveHand.CONVERTIBLE and chance(rng, 50))
    start = (bearing + before - width if leftward else bearing - before) % 360
    end = (start + width) % 360
    free = mood.at_least(reach)
    sectors: list[tuple[int, int, Json | None]] = [(0, 360, free)]
    if chance(rng, 70):
        sectors = [(start, end, free), (end, start, mood.at_least(hub))]
    if len(sectors) == 2 and chance(rng, 25):
        middle = (start + 30 * rng.randint(1, 4)) % 360
        sectors = [(start, middle, free), (middle, end, mood.at_least(reach)), sectors[1]]
    given = [
        {"from": first, "to": last, "radius": radius} for first, last, radius in sectors if radius is not None
    ]
    return {"free_radius": given or None, "datum_bearing": _datum(mood, datum)}


def _datum(mood: Mood, datum: int) -> Json | None:
    rng = mood.rng
    if chance(rng, mood.uncertain):
        return _one_of(rng, None, _around(datum, 20), _around(datum, 30))
    return _one_of(rng, {"value": datum}, {"value": datum}, _around(datum, 10))


def _hub(solid: parts.Solid) -> int:
    """How far a solid reaches where the motor is not, in µm."""
    if isinstance(solid, Box):
        return int(max(abs(solid.y_from_um), abs(solid.y_to_um), -solid.x_from_um))
    return solid.diameter_um // 2


def _reach(drive: Drive) -> int:
    """How far the drive reaches from the axis, in whole mm, rounded up."""
    boxes = [solid for solid in drive.solids if isinstance(solid, Box)]
    corners = [hypot(one.x_to_um, max(-one.y_from_um, one.y_to_um)) for one in boxes]
    return -int(-max([*corners, *(_hub(solid) for solid in drive.solids)]) // 1_000)


def _opening(mood: Mood, target: Target) -> Json | None:
    """An opening through which the target's worst piece just goes."""
    rng = mood.rng
    faces = []
    for piece in target.drive.pieces:
        captive = piece.carries_shaft and target.shaft.mounting is Mounting.CAPTIVE
        tall = piece.height_um + (target.shaft.standing_height_um if captive else 0)
        faces.append(sorted((piece.length_um, piece.width_um, tall))[:2])
    short, long = max(one for one, _ in faces) // 1_000, max(other for _, other in faces) // 1_000
    if chance(rng, 50):
        through = -int(-max(hypot(*face) for face in faces) // 1_000)
        free = mood.at_least(through)
        return None if free is None else {"round": free}
    width, height = mood.at_least(long), mood.at_least(short)
    if width is None or height is None:
        return None
    return {"width": width, "height": height} if chance(rng, 50) else {"width": height, "height": width}


# --- not too many worlds ----------------------------------------


def _narrow(rng: Random, catalog: parts.Catalog, target: Target, question: Json) -> None:
    """State uncertain facts exactly, in random order, until the worlds can be counted out one by one.

    Now and then nothing at all is known of the deck or the datum; then all else has to be known well.
    """
    survey = question["survey"]
    places: list[tuple[str, str, Any]] = [
        ("survey", "datum_bearing", {"value": target.datum}),
        ("survey", "deck_thickness", {"value": target.band[0]}),
        ("survey", "depth_below_deck", _pinned(survey["depth_below_deck"], target.depth)),
        ("survey", "pad_diameter", _pinned(survey["pad_diameter"], 160)),
        ("survey", "opening", {"round": {"value": 400}}),
        ("survey", "free_radius", [{"from": 0, "to": 360, "radius": {"value": _reach(target.drive)}}]),
        ("boat", "motor_voltage", target.drive.motor_voltage_mv // 1_000 or 12),
        ("winch", "plug", "absent"),
    ]
    if chance(rng, 4):
        survey[places.pop(rng.randrange(2))[1]] = None
    rng.shuffle(places)
    for section, name, fact in places:
        if worlds(catalog, question) <= MOST_WORLDS:
            return
        question[section][name] = fact


def _pinned(length: Json | None, otherwise: int) -> Json:
    """A length as a single value: one that was possible before."""
    given = length or {}
    return {"value": given.get("value", given.get("at_least", given.get("at_most", otherwise)))}
