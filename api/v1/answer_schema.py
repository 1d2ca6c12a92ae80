"""The answer of a lookup as components of the OpenAPI document, by hand; tests hold it to the answers.

Objects may get further members in time, so a reader of answers passes over what it does not know.
"""

from typing import Any

from api.v1.shapes import Json, nullable
from catalog.resolver.answer import ANSWER_SCHEMA
from catalog.resolver.gates import GATES, NOT_CHECKED
from catalog.resolver.parts import Hand, PartKind, Status

REF: Json = {"$ref": "#/components/schemas/Answer"}
ABOUT = "The answer, whatever its verdict."

VERDICTS = ("yes", "depends", "no")
STANDINGS = ("sure", "possible")


def _ref(name: str) -> Json:
    return {"$ref": f"#/components/schemas/{name}"}


def _text(about: str, **rest: Any) -> Json:
    return {"type": "string", "description": about, **rest}


def _chosen(about: str, among: tuple[str, ...]) -> Json:
    return _text(about, enum=list(among))


def _number(about: str) -> Json:
    return {"type": "number", "description": about}


def _whole(about: str, **rest: Any) -> Json:
    return {"type": "integer", "description": about, **rest}


def _flag(about: str) -> Json:
    return {"type": "boolean", "description": about}


def _list(name: str, about: str) -> Json:
    return {"type": "array", "items": _ref(name), "description": about}


def _told(schema: Json, about: str) -> Json:
    return {**schema, "description": about}


def _object(about: str, **properties: Json) -> Json:
    """Every member is always there; what there is none of is null or empty."""
    return {"type": "object", "description": about, "required": list(properties), "properties": properties}


SKU = _text("Part number.")
HAND = _chosen("Side of the motor, looking down along the shaft.", tuple(map(str, Hand)))
SENTENCE = _text("The same in words, for a person.")
CODE = _text("Never changes, whatever the words.")
PRICE_OR_NULL = _told(nullable(_ref("Money")), "Null when a part has no price in this currency at this day.")
LEAD_TIME = nullable(_whole("Days until it is there; null when not known.", minimum=0))

CIRCUMSTANCE: Json = {
    "run": nullable(_text("Code of the production run; null for a winch outside every run.")),
    "exceptions": {
        "type": "array",
        "items": {"type": "string"},
        "description": "Codes of the rulings that hold for its serial.",
    },
    "plug": _chosen("Whether the closing plug is there.", ("present", "absent")),
    "motor_voltage": _whole("V."),
    "control_voltage": _whole("V."),
}
WORLD: Json = {
    **CIRCUMSTANCE,
    "deck_thickness": _number("mm."),
    "depth_below_deck": _number("mm."),
    "free_radius": _list("FixedSector", "All round."),
    "datum_bearing": _number("Degrees."),
    "opening": {
        "type": "object",
        "description": "Round, with one length, or with a width and a height; mm.",
        "properties": {"round": _number("mm."), "width": _number("mm."), "height": _number("mm.")},
    },
    "pad_diameter": _number("mm."),
}

SCHEMAS: Json = {
    "Answer": _object(
        "Whether the winch can be converted, with what, at which price, and why.",
        schema=_whole("Format of the answer.", const=ANSWER_SCHEMA),
        verdict=_chosen(
            "`yes`: whatever is still open, some kit fits; `no`: none does; `depends`: in some of what is "
            "open.",
            VERDICTS,
        ),
        sentence=_text("The verdict in words, with what it is about and what it is not."),
        order=_told(_ref("Said"), "What can be ordered as things stand."),
        reasons=_list("Check", "The checks that fail where the verdict is no, or depends."),
        kits=_list(
            "KitFound",
            "Enough kits to prove a yes, then others; the first is the best by the ranking wished for.",
        ),
        cores=_list(
            "CoreFound", "Adapter, shaft and drive that fit in every case, with spacers that may differ."
        ),
        price=_ref("PriceRange"),
        alternatives=_list(
            "Alternative", "Powered winches in place of the old one, each with its own verdict."
        ),
        certificate=_ref("Certificate"),
        gates=_list("Gate", "What was checked, and what was not."),
        assumed=_list("Assumed", "The assumptions that took their defaults."),
        remarks=_list("Said", "What is worth knowing beside."),
        cautions=_list("Said", "What is dangerous. Show them wherever the answer is shown."),
        measure_next={"description": "Room for what to measure next. Null in this release."},
        nearest_misses={"description": "Room for what would have to change. Null in this release."},
        question=_told(
            _ref("Question"),
            "The question as it was understood: lengths in mm, rounded outward; wishes, assumptions, day "
            "and revision filled in.",
        ),
        revision=_ref("AnswerRevision"),
        resolver_version=_text("Version of the rules by which it was answered."),
        as_of=_text("Day for which parts and prices were looked up.", format="date"),
        address=nullable(
            _text("Path of the page that shows this answer, now and later; null when it would be too long.")
        ),
    ),
    "Said": _object("Something said.", code=CODE, sentence=SENTENCE),
    "Check": _object(
        "One thing that was checked, and by how much it passed or failed.",
        gate=_text("The gate it belongs to.", examples=["reach"]),
        code=_text("What was checked. With the gate it never changes.", examples=["length-long"]),
        passed=_flag("Whether it passed."),
        margin=_told(
            nullable(_ref("Margin")),
            "What is left over; below zero: what is missing. Null where there is no measure.",
        ),
        sentence=SENTENCE,
        facts={
            "type": "object",
            "description": "The facts that were looked at. Units stand in their names: `_um` micrometres, "
            "`_ddeg` tenths of a degree, `_mv` mV, `_ma` mA, `_mnm` mN·m, `_n` N, `_ms` ms.",
            "additionalProperties": {"type": ["string", "integer", "boolean"]},
        },
    ),
    "Margin": _object(
        "A margin in its unit.", value=_number("The figure."), unit=_text("Its unit.", examples=["mm", "A"])
    ),
    "KitFound": _object(
        "A kit: parts that fit together, and how they are set up.",
        number=_whole("Counted from 1; the certificate refers to it.", minimum=1),
        standing=_chosen("`sure`: fits in every case; `possible`: in some, see `passes_in`.", STANDINGS),
        in_cover=_flag("Whether it is one of the kits that together prove a yes."),
        parts=_list("KitLine", "In the order in which they are fitted."),
        hand=HAND,
        price=PRICE_OR_NULL,
        lead_time_days=_told(LEAD_TIME, "The longest of its parts; null when one is not known."),
        deck_thickness=_told(_ref("Band"), "The deck thicknesses that it spans."),
        depth_needed=_number("Depth that it needs below the deck, mm."),
        settings=_ref("KitSettings"),
        notes=_list("Said", "What to know about its settings."),
        checks=_list("Check", "Every check, for a sure kit in its worst case, else in its best."),
        passes_in=_list("Circumstance", "The circumstances in which it passes."),
    ),
    "KitLine": _object(
        "A part of a kit.",
        sku=SKU,
        kind=_chosen("What it is.", tuple(map(str, PartKind))),
        name=_text("Its name."),
        maker=_text("Code of its maker."),
        quantity=_whole("How many.", minimum=1),
        price=_told(
            PRICE_OR_NULL, "Price of one, tax apart; null when it has none in this currency at this day."
        ),
        lead_time_days=LEAD_TIME,
        status=_chosen("Whether it can be had.", tuple(map(str, Status))),
        why=_text("Why it is in the kit."),
    ),
    "KitSettings": _object(
        "How a kit is set up.",
        clocking=_list("ClockingFound", "Angles from the datum at which the drive may be bolted."),
        motor_rotation={
            "type": "array",
            "items": {"type": "number"},
            "description": "Angles to which the motor itself may be turned, degrees.",
        },
        cut_length=_told(
            nullable(_ref("CutLength")), "What the shaft may be cut to; null for one that is not cut."
        ),
    ),
    "ClockingFound": {
        **_object(
            "A stretch of clockings that pass; equal ends: one position.",
            **{"from": _number("Degrees.")},
            to=_number("Degrees."),
            sure=_flag("Whether it passes in every case. A template from another one is provisional."),
        ),
    },
    "CutLength": _object(
        "A stretch of lengths to cut to.",
        **{"from": nullable(_number("mm."))},
        to=nullable(_number("mm.")),
        sure=_flag("Whether it holds in every case. A cut list from another one is provisional."),
    ),
    "Band": _object(
        "A stretch of lengths, ends included.",
        **{"from": nullable(_number("mm; null: no lower end."))},
        to=nullable(_number("mm; null: no upper end.")),
    ),
    "CoreFound": _object(
        "What can be ordered before the spacers are known.",
        adapter=_text("SKU of the base adapter."),
        shaft=_text("SKU of the drive shaft."),
        drive=_text("SKU of the drive unit."),
        hand=HAND,
        handing_kit=nullable(_text("SKU of the handing kit, where one is needed.")),
        standing=_chosen("`sure`: some completion of it fits in every case.", STANDINGS),
        price=_told(PRICE_OR_NULL, "Price of these parts; null when one has none."),
    ),
    "Money": _object(
        "An amount of money, tax apart.",
        amount=_text(
            "With all decimals of its currency.", pattern=r"^-?[0-9]+([.][0-9]+)?$", examples=["1234.50"]
        ),
        currency=_text("ISO 4217.", pattern="^[A-Z]{3}$", examples=["EUR"]),
    ),
    "PriceRange": _object(
        "What a kit costs.",
        **{
            "from": _told(
                nullable(_ref("Money")),
                "The cheapest kit that may fit; null when there is none with a price.",
            )
        },
        to=_told(
            nullable(_ref("Money")),
            "The cheapest kit in the dearest case; null unless the verdict is yes and every such kit has a "
            "price.",
        ),
    ),
    "Alternative": _object(
        "A powered winch in place of the old one.",
        sku=SKU,
        name=_text("Its name."),
        maker=_text("Code of its maker."),
        size=_whole("The trade's size number.", minimum=1),
        verdict=_chosen("Whether it can stand there.", VERDICTS),
        sentence=SENTENCE,
        price=PRICE_OR_NULL,
        lead_time_days=LEAD_TIME,
        checks=_list("Check", "At the smallest pad that is possible."),
    ),
    "Gate": _object(
        "Something that is checked, or is not.",
        gate=_chosen("Its name.", (*GATES, *NOT_CHECKED)),
        checked=_flag("False: no answer says anything about it yet."),
        code=CODE,
        sentence=SENTENCE,
    ),
    "Assumed": _object(
        "An assumption that took its default.",
        name=_text("The field of the question."),
        value=_number("What was assumed."),
        sentence=SENTENCE,
    ),
    "AnswerRevision": _object(
        "The revision of the catalog that was asked.",
        number=_whole("Its number.", minimum=1),
        sha256=_text("Its hash.", pattern="^[0-9a-f]{64}$"),
    ),
    "Certificate": _object(
        "What proves the verdict, so that it can be verified without searching.",
        cover=_list("CoverRow", "Of a yes: which kit passes where."),
        failures=_list("FailureRow", "Of a no, or of a case that fails: why every candidate fails."),
        passing=_told(nullable(_ref("PassingWorld")), "Of a depends: a case in which a kit passes."),
        failing=_told(nullable(_ref("World")), "Of a depends: a case in which none does."),
    ),
    "Circumstance": _object("One combination of what is not measured.", **CIRCUMSTANCE),
    "CoverRow": _object(
        "In this circumstance, for these thicknesses and bearings of the datum, this kit passes.",
        **CIRCUMSTANCE,
        deck_thickness=_ref("Band"),
        datum_bearing=_object(
            "A stretch of bearings.", **{"from": _number("Degrees.")}, to=_number("Degrees.")
        ),
        kit=_whole("Number of the kit.", minimum=1),
        clocking=_number("The clocking with which it passes, degrees."),
    ),
    "FailureRow": _object(
        "In this circumstance every candidate with this drive in this hand fails one of these checks.",
        **CIRCUMSTANCE,
        drive=nullable(_text("SKU of the drive; null where there is no candidate at all.")),
        hand=HAND,
        fails={"type": "array", "items": {"type": "string"}, "description": "Checks, as `gate.code`."},
    ),
    "World": _object("One case, in which everything is fixed.", **WORLD),
    "PassingWorld": _object(
        "One case, with a kit that passes in it.",
        **WORLD,
        kit=nullable(_whole("Number of the kit; null when it is not listed.", minimum=1)),
        parts=_list("PartCount", "The parts of the kit."),
        clocking=_number("The clocking with which it passes, degrees."),
        cut_length=nullable(_number("What its shaft is cut to, mm; null for one that is not cut.")),
    ),
    "FixedSector": _object(
        "A stretch of bearings and the free radius in it.",
        **{"from": _number("Degrees.")},
        to=_number("Degrees."),
        radius=_number("mm."),
    ),
    "PartCount": _object("A part and how many of it.", sku=SKU, quantity=_whole("How many.", minimum=1)),
}
