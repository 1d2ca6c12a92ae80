"""The question of a lookup as components of the OpenAPI document, by hand; tests hold it to the reader.

Bounds, choices and defaults are taken from the reader of questions where it names them.
"""

from dataclasses import fields
from typing import Any

from api.v1.shapes import Json, nullable
from catalog.asking import LONGEST_QUESTION_BYTES
from catalog.package.kinds import CODE_PATTERN
from catalog.resolver.facts import PLAUSIBLE
from catalog.resolver.question import (
    CHANGES,
    CONTROL_VOLTAGES,
    DRIVES,
    HANDS,
    LONGEST_TEXT,
    LONGEST_UM,
    MOST_KITS,
    MOST_SECTORS,
    MOTOR_VOLTAGES,
    PLUGS,
    RANKINGS,
    SCHEMA,
    Assumptions,
    Wishes,
)
from shared.units import Unit

REF: Json = {"$ref": "#/components/schemas/Question"}
ABOUT = f"""
The body is a question; the answer is 200 whatever the verdict, for "does not fit" is an answer. Nothing is
stored, so no Idempotency-Key is needed; nobody has to be signed in. The body has at most
{LONGEST_QUESTION_BYTES:,} bytes of JSON in UTF-8, in which no object has a name twice; numbers are read
exactly, with at most 12 digits, 6 of them behind the point. All faults of a question are reported at once,
each with a JSON pointer.

A question has three kinds of field. A **fact** that is absent or null is unknown, and the answer holds for
every value that it may have. A **wish** that is absent leaves the choice to the answer. An **assumption**
that is absent takes its default, and the answer lists it under `assumed`. A field that is not documented here
is refused.

The figures of an answer are design aids. Local codes, the makers' instructions and licensed practice come
first.
""".strip()

EXAMPLE: Json = {
    "schema": 1,
    "winch": {"model": "tansy-60", "year": 2012},
    "survey": {
        "deck_thickness": {"value": 38, "plus_minus": 1},
        "depth_below_deck": {"at_least": 240},
        "free_radius": [
            {"from": 0, "to": 90, "radius": {"value": 350}},
            {"from": 90, "to": 360, "radius": {"at_least": 140}},
        ],
        "datum_bearing": {"value": 30, "plus_minus": 2},
        "opening": {"round": {"value": 200}},
    },
    "boat": {"motor_voltage": 12},
    "as_of": "2026-06-01",
}
LEAST_EXAMPLE: Json = {"schema": 1, "winch": {"model": "tansy-60"}}

_WISHED = {one.name: one.default for one in fields(Wishes)}
_ASSUMED = {one.name: one.default for one in fields(Assumptions)}


def _object(about: str, *, required: tuple[str, ...] = (), **properties: Json) -> Json:
    made: Json = {"type": "object", "description": about, "additionalProperties": False}
    return {**made, **({"required": list(required)} if required else {}), "properties": properties}


def _fact(about: str, schema: Json) -> Json:
    """A fact that may be left out, or be null, which is the same: unknown."""
    return {**nullable(schema), "description": about}


def _length(about: str, *, plausible: str = "") -> Json:
    if not plausible:
        return _fact(about, {"$ref": "#/components/schemas/Length"})
    closing = PLAUSIBLE[plausible]
    low, high = (0 if um is None else um // 1000 for um in (closing.low, closing.high))
    range_ = (
        f"Where an end is open, it is taken to lie between {low} and {high} mm; a value beyond is accepted."
    )
    return _fact(f"{about} {range_}", {"$ref": "#/components/schemas/Length"})


def _figure(about: str) -> Json:
    """The figure of a length. In inches a kilometre is fewer; the reader refuses what is beyond."""
    return {"type": "number", "description": about, "minimum": 0, "maximum": LONGEST_UM // 1000}


def _number(about: str, **rest: Any) -> Json:
    return {"type": "number", "description": about, **rest}


def _whole(about: str, low: int, high: int, **rest: Any) -> Json:
    return {"type": "integer", "description": about, "minimum": low, "maximum": high, **rest}


def _chosen(about: str, among: tuple[str, ...], **rest: Any) -> Json:
    return {"type": "string", "description": about, "enum": list(among), **rest}


_UNIT = nullable(_chosen("Unit of the numbers beside it; `mm` when absent.", tuple(map(str, Unit))))

LENGTH_VALUE = {
    **_object(
        "Measured, exactly or within a hard bound to either side.",
        required=("value",),
        value=_figure("The length; at most a kilometre."),
        plus_minus=nullable(_figure("No further off than this.")),
        unit=_UNIT,
    ),
    "examples": [{"value": 38, "plus_minus": 1}, {"value": 1.5, "unit": "in"}],
}
LENGTH_BOUNDS = {
    **_object(
        "Known from below, from above, or both. `at_least` is not above `at_most`.",
        at_least=nullable(_figure("Not less than this.")),
        at_most=nullable(_figure("Not more than this.")),
        unit=_UNIT,
    ),
    "anyOf": [
        {"required": ["at_least"], "properties": {"at_least": {"type": "number"}}},
        {"required": ["at_most"], "properties": {"at_most": {"type": "number"}}},
    ],
    "examples": [{"at_least": 240}],
}
LENGTH = {
    "description": (
        "A length, measured or bounded. It is kept to the micrometre, rounded outward, so that what was "
        "possible stays possible."
    ),
    "oneOf": [
        {"$ref": "#/components/schemas/LengthByValue"},
        {"$ref": "#/components/schemas/LengthByBounds"},
    ],
}
BEARING = _object(
    "A bearing on the boat in degrees: 0 towards the bow, clockwise seen from above.",
    required=("value",),
    value=_number("Degrees.", minimum=0, maximum=360),
    plus_minus=nullable(
        _number("No further off than this, to either side; 0 when absent.", minimum=0, maximum=180)
    ),
)
SECTOR = _object(
    "A stretch of bearings, its ends included, and the free radius in it. 315 to 45 passes through the "
    "bow; 0 to 360 is the whole circle. Where sectors overlap, the tighter one is taken.",
    required=("from", "to", "radius"),
    **{
        "from": _number("Degrees, to a tenth.", minimum=0, maximum=360),
        "to": _number("Degrees, to a tenth; not the same as `from`.", minimum=0, maximum=360),
    },
    radius={
        "$ref": "#/components/schemas/Length",
        "description": "From the shaft's axis to the nearest thing that is in the way.",
    },
)
OPENING = {
    "description": "The opening through which every piece has to go: round, or with a width and a height.",
    "oneOf": [
        {"$ref": "#/components/schemas/RoundOpening"},
        {"$ref": "#/components/schemas/RectangularOpening"},
    ],
}
ROUND_OPENING = _object(
    "A round opening.",
    required=("round",),
    round={"$ref": "#/components/schemas/Length", "description": "Its diameter."},
)
RECTANGULAR_OPENING = _object(
    "A rectangular opening.",
    required=("width", "height"),
    width={"$ref": "#/components/schemas/Length", "description": "One side."},
    height={"$ref": "#/components/schemas/Length", "description": "The other."},
)
WINCH = _object(
    "The winch that is there.",
    required=("model",),
    model={
        "type": "string",
        "description": "Code of the winch model; `/api/v1/winch-models?search=` finds it.",
        "pattern": f"^{CODE_PATTERN}$",
        "maxLength": LONGEST_TEXT,
        "examples": ["tansy-60"],
    },
    year=_fact("Year in which the winch (not the boat) was built.", _whole("", 1900, 2100)),
    serial=_fact(
        "Its serial number. It must not name another production run than the year does.",
        {
            "type": "string",
            "minLength": 1,
            "maxLength": LONGEST_TEXT,
            "pattern": r"\S",
            "examples": ["TN-4120"],
        },
    ),
    plug=_fact("Whether the closing plug below the spindle is there.", _chosen("", PLUGS)),
)
SURVEY = _object(
    "What was measured at the spot. All of it may be unknown.",
    deck_thickness=_length(
        "Along the shaft's axis, at the axis, through everything clamped: overlay, pad, skins, core, "
        "liner, backing plate.",
        plausible="deck_thickness",
    ),
    depth_below_deck=_length("Free depth from the underside of the deck down.", plausible="depth_below_deck"),
    free_radius=_fact(
        "Free radius round the shaft's axis below the deck, by stretches of bearings. What no sector "
        "covers is unknown; where an end of a radius is open, it is taken to lie between 0 and "
        f"{(PLAUSIBLE['free_radius'].high or 0) // 1000} mm.",
        {
            "type": "array",
            "maxItems": MOST_SECTORS,
            "items": {"$ref": "#/components/schemas/Sector"},
        },
    ),
    datum_bearing=_fact(
        "Bearing of the datum, the mark on the winch's base from which clocking is counted.",
        {"$ref": "#/components/schemas/Bearing"},
    ),
    opening=_fact(
        "The opening that the pieces have to pass. Open ends are taken to lie between 0 and "
        f"{(PLAUSIBLE['opening'].high or 0) // 1000} mm.",
        {"$ref": "#/components/schemas/Opening"},
    ),
    pad_diameter=_length(
        "Diameter of the flat pad on deck. Where an end is open, it is taken to lie between the winch's "
        f"own base and {(PLAUSIBLE['pad_diameter'].high or 0) // 1000} mm."
    ),
)
BOAT = _object(
    "What the boat has.",
    motor_voltage=_fact(
        "Voltage that feeds the motor, V.", {"type": "integer", "enum": list(MOTOR_VOLTAGES)}
    ),
    control_voltage=_fact(
        "Voltage at which the switches run, V. Where it is unknown: 12 on a boat with 12, else 12 or 24.",
        {"type": "integer", "enum": list(CONTROL_VOLTAGES)},
    ),
)
WISHES = _object(
    "What is wanted. What is left out is ours to choose.",
    drive=nullable(
        _chosen("Motor below the gearbox on the shaft's axis, or sideways.", DRIVES, default=_WISHED["drive"])
    ),
    hand=nullable(
        _chosen(
            "Side of the motor, looking down along the shaft with the motor pointing away. A drive without "
            "a hand satisfies either.",
            HANDS,
            default=_WISHED["hand"],
        )
    ),
    rank_by=nullable(
        _chosen(
            "What puts a kit first: the lowest price, the shortest lead time, the largest of its smallest "
            "margins.",
            RANKINGS,
            default=_WISHED["rank_by"],
        )
    ),
    currency=nullable(
        {
            "type": "string",
            "description": "Currency of the prices, ISO 4217. Nothing is converted: a part without a "
            "price in it has none.",
            "pattern": "^[A-Z]{3}$",
            "default": _WISHED["currency"],
        }
    ),
    kits=nullable(
        _whole(
            "How many kits are listed beyond those that prove a yes.",
            0,
            MOST_KITS,
            default=_WISHED["kits"],
        )
    ),
    may_alter=nullable(
        {
            "type": "array",
            "description": "Which changes may be made for a nearest miss; absent: all of them; empty: none.",
            "items": {"type": "string", "enum": list(CHANGES)},
        }
    ),
)
ASSUMPTIONS = _object(
    "What is taken for granted.",
    press_seconds=nullable(
        _whole("The longest press of a switch, s.", 1, 600, default=_ASSUMED["press_seconds"])
    ),
    switch_inputs=nullable(
        _whole("Inputs that switches are wired to.", 1, 16, default=_ASSUMED["switch_inputs"])
    ),
    bedding=nullable(
        _number(
            "What bedding compound adds to the length, mm.",
            minimum=0,
            maximum=50,
            default=_ASSUMED["bedding_um"],
        )
    ),
    least_pull_percent=nullable(
        _whole(
            "Share of the winch's working load that the drive must pull in the last gear, %.",
            0,
            100,
            default=_ASSUMED["least_pull_percent"],
        )
    ),
)
QUESTION = {
    **_object(
        "A winch, its spot and its boat, as far as they are known; what is wished for and assumed.",
        required=("schema", "winch"),
        schema={"type": "integer", "const": SCHEMA, "description": "Format of the question."},
        winch={"$ref": "#/components/schemas/QuestionWinch"},
        survey=nullable({"$ref": "#/components/schemas/Survey"}),
        boat=nullable({"$ref": "#/components/schemas/Boat"}),
        wishes=nullable({"$ref": "#/components/schemas/Wishes"}),
        assumptions=nullable({"$ref": "#/components/schemas/Assumptions"}),
        as_of=nullable(
            {
                "type": "string",
                "format": "date",
                "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$",
                "description": "Day for which parts and prices are looked up; today (UTC) when absent.",
            }
        ),
        revision=nullable(_whole("Revision of the catalog that is asked; the newest when absent.", 1, 10**9)),
    ),
    "examples": [EXAMPLE, LEAST_EXAMPLE],
}

SCHEMAS: Json = {
    "Question": QUESTION,
    "QuestionWinch": WINCH,
    "Survey": SURVEY,
    "Length": LENGTH,
    "LengthByValue": LENGTH_VALUE,
    "LengthByBounds": LENGTH_BOUNDS,
    "Bearing": BEARING,
    "Sector": SECTOR,
    "Opening": OPENING,
    "RoundOpening": ROUND_OPENING,
    "RectangularOpening": RECTANGULAR_OPENING,
    "Boat": BOAT,
    "Wishes": WISHES,
    "Assumptions": ASSUMPTIONS,
}
