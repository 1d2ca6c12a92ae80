"""Winches: makers, families, models, gears and production runs, and the interfaces by which parts mate."""

from decimal import Decimal
from typing import Annotated, NamedTuple

from catalog.package.kinds import LONGEST_NOTE, LONGEST_SERIAL, Code, Number, Text, Whole, YesNo, choice
from catalog.package.resource import Resource
from catalog.package.rules import EmptyIf, NeededIf, Ordered, SerialBounds, is_true, only_if, when
from catalog.resolver.parts import Plug, SerialRule

FIRST_YEAR, LAST_YEAR = 1900, 2199
LEAST = Decimal("0.001")


def mm(about: str, least: str = "0.001", most: str = "10000") -> Number:
    return Number(about=about, places=3, least=Decimal(least), most=Decimal(most))


def year(about: str) -> Whole:
    return Whole(about=about, least=FIRST_YEAR, most=LAST_YEAR)


def note(about: str) -> Text:
    return Text(about=about, longest=LONGEST_NOTE)


class MakerRow(NamedTuple):
    code: Annotated[str, Code(about="The maker's code.")]
    name: Annotated[str, Text(about="The maker's name.")]


class FamilyRow(NamedTuple):
    code: Annotated[str, Code(about="The family's code.")]
    maker: Annotated[str, Code(about="Who makes it.", refers="makers")]
    name: Annotated[str, Text(about="The family's name.")]
    convertible: Annotated[bool, YesNo(about="Whether its winches take a kit; `false`: replace-only.")]
    replace_only_reason: Annotated[str | None, note("Why its winches take no kit.")]
    first_year: Annotated[int | None, year("The first year in which it was made.")]
    last_year: Annotated[int | None, year("The last year; empty while it is made, or when not known.")]


class ModelRow(NamedTuple):
    code: Annotated[str, Code(about="The model's code.")]
    family: Annotated[str, Code(about="The family that it is one size of.", refers="families")]
    name: Annotated[str, Text(about="The model's name.")]
    size: Annotated[int, Whole(about="The trade's size number.", least=1, most=999)]
    drum_diameter_mm: Annotated[Decimal, mm("Diameter of the drum where the rope runs, mm.")]
    base_diameter_mm: Annotated[Decimal, mm("Outer diameter of the base, mm.")]
    height_mm: Annotated[Decimal, mm("Height above the deck, mm.")]
    working_load_n: Annotated[int, Whole(about="Working load, N.", least=1)]
    spindle_torque_max_nm: Annotated[
        Decimal, Number(about="The most torque that the spindle takes, N·m.", least=LEAST)
    ]
    self_tailing: Annotated[bool, YesNo(about="Whether it holds the rope's tail itself.")]
    rope_min_mm: Annotated[Decimal | None, mm("The thinnest rope that the self-tailer grips, mm.")]
    rope_max_mm: Annotated[Decimal | None, mm("The thickest rope that the self-tailer grips, mm.")]
    pad_diameter_mm: Annotated[Decimal, mm("Diameter of the pad that the model asks for, mm.")]


class ModelGearRow(NamedTuple):
    model: Annotated[str, Code(about="The model.", refers="models")]
    gear: Annotated[int, Whole(about="1 is the fast gear, the last one the strongest.", least=1, most=9)]
    ratio: Annotated[Decimal, Number(about="Handle turns per drum turn.", least=LEAST, most=Decimal(1000))]


class BasePatternRow(NamedTuple):
    code: Annotated[str, Code(about="The base pattern's code.")]
    name: Annotated[str, Text(about="What the trade calls it.")]
    bolt_circle_mm: Annotated[Decimal, mm("Diameter of the circle on which the bolts stand, mm.")]
    bolts: Annotated[int, Whole(about="Number of bolts.", least=2, most=48)]
    bolt_size: Annotated[str, Text(about="Size of the bolts, as one orders them.", longest=30)]
    centre_hole_mm: Annotated[Decimal, mm("Diameter of the hole in the middle, mm.")]


class SpindleRow(NamedTuple):
    code: Annotated[str, Code(about="The spindle's code.")]
    name: Annotated[str, Text(about="How the centre shaft is driven from below.")]
    note: Annotated[str | None, note("What to know about it.")]


class FlangeRow(NamedTuple):
    code: Annotated[str, Code(about="The flange's code.")]
    name: Annotated[str, Text(about="What the trade calls it.")]
    max_spacers: Annotated[int, Whole(about="The most spacers in a stack; 0: none.", most=20)]
    max_stack_mm: Annotated[Decimal, mm("The thickest stack, mm.", least="0", most="1000")]


class CouplingRow(NamedTuple):
    code: Annotated[str, Code(about="The coupling's code.")]
    name: Annotated[str, Text(about="What the trade calls it.")]
    note: Annotated[str | None, note("What to know about it.")]


class RunRow(NamedTuple):
    code: Annotated[str, Code(about="The production run's code.")]
    model: Annotated[str, Code(about="The model that was built so.", refers="models")]
    year_from: Annotated[int, year("The first year of the run.")]
    year_to: Annotated[int | None, year("The last year, inclusive; empty while it goes on.")]
    serial_rule: Annotated[SerialRule, choice("How its serials compare; `none`: they do not.", SerialRule)]
    serial_from: Annotated[str | None, Text(about="The first serial.", longest=LONGEST_SERIAL)]
    serial_to: Annotated[str | None, Text(about="The last serial, inclusive.", longest=LONGEST_SERIAL)]
    base_pattern: Annotated[str, Code(about="How it is bolted down.", refers="base_patterns")]
    spindle: Annotated[str, Code(about="How its centre shaft is driven from below.", refers="spindles")]
    plug: Annotated[Plug, choice("What closes the lower end of the spindle.", Plug)]
    plug_removable: Annotated[bool | None, YesNo(about="Whether the plug can be taken out.")]
    plug_note: Annotated[str | None, note("What taking it out involves.")]


MAKERS = Resource("makers", "Makers", "Who makes winches and parts.", MakerRow, ("code",))

FAMILIES = Resource(
    "families",
    "Winch families",
    "A maker's line of winches, convertible or replace-only.",
    FamilyRow,
    ("code",),
    (*only_if(~is_true("convertible"), "replace_only_reason"), Ordered("first_year", "last_year")),
)

MODELS = Resource(
    "models",
    "Winch models",
    "One size of a family.",
    ModelRow,
    ("code",),
    (
        *only_if(is_true("self_tailing"), "rope_min_mm", "rope_max_mm"),
        Ordered("rope_min_mm", "rope_max_mm"),
    ),
    needs=("model_gears",),
)

MODEL_GEARS = Resource(
    "model_gears",
    "Gears",
    "The gears of a model, numbered 1, 2, 3 without a gap; the ratio rises with the gear.",
    ModelGearRow,
    ("model", "gear"),
)

BASE_PATTERNS = Resource(
    "base_patterns",
    "Base patterns",
    "How winches are bolted down.",
    BasePatternRow,
    ("code",),
    (Ordered("centre_hole_mm", "bolt_circle_mm", "<"),),
)

SPINDLES = Resource("spindles", "Spindles", "How centre shafts are driven from below.", SpindleRow, ("code",))

FLANGES = Resource(
    "flanges",
    "Flanges",
    "The bolted faces of drive units, and what may be stacked under them.",
    FlangeRow,
    ("code",),
)

COUPLINGS = Resource("couplings", "Couplings", "How shafts and drives meet.", CouplingRow, ("code",))

RUNS = Resource(
    "runs",
    "Production runs",
    "Stretches of years and serials in which a model was built one way. All ends are inclusive.",
    RunRow,
    ("code",),
    (
        Ordered("year_from", "year_to"),
        EmptyIf("serial_from", when("serial_rule", SerialRule.NONE)),
        EmptyIf("serial_to", when("serial_rule", SerialRule.NONE)),
        SerialBounds(),
        NeededIf("plug_removable", ~when("plug", Plug.NONE)),
        EmptyIf("plug_note", when("plug", Plug.NONE)),
    ),
)
