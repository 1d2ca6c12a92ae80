"""What stands between winch and motor: adapters, shafts, drives, handing kits, spacers, wedges."""

from decimal import Decimal
from enum import StrEnum
from typing import Annotated, NamedTuple

from catalog.package.kinds import Code, Number, Sku, Text, Whole, YesNo, choice
from catalog.package.resource import Resource
from catalog.package.resources.winches import LEAST, mm
from catalog.package.rules import NeededIf, Ordered, SuppliedHand, is_true, only_if, when
from catalog.resolver.parts import DriveHand, DriveType, Hand, Mounting, PartKind, Power

MOTOR_VOLTS = (12, 24, 48)
CONTROL_VOLTS = (12, 24)


class Shape(StrEnum):
    """The two prisms of which a drive's body is made up."""

    BOX = "box"
    CYLINDER = "cylinder"


def amps(about: str, least: str = "0.001") -> Number:
    return Number(about=about, least=Decimal(least), most=Decimal(10_000))


def degrees(about: str, least: str = "0", most: str = "359.9") -> Number:
    return Number(about=about, places=1, least=Decimal(least), most=Decimal(most))


def seconds(about: str) -> Number:
    return Number(about=about, least=LEAST, most=Decimal(1_000_000))


class AdapterRow(NamedTuple):
    sku: Annotated[str, Sku(about="The part.", refers="parts")]
    flange: Annotated[str, Code(about="The face that it offers to the drive.", refers="flanges")]
    thickness_mm: Annotated[
        Decimal,
        mm(
            "What it adds between base plane and flange face, mm; negative: the winch sinks.", "-1000", "1000"
        ),
    ]
    footprint_mm: Annotated[Decimal, mm("Diameter that it covers on the pad, mm.")]


class AdapterBaseRow(NamedTuple):
    sku: Annotated[str, Sku(about="The adapter.", refers="adapters")]
    base_pattern: Annotated[str, Code(about="A base pattern that it takes.", refers="base_patterns")]


class ShaftRow(NamedTuple):
    sku: Annotated[str, Sku(about="The part.", refers="parts")]
    mounting: Annotated[
        Mounting, choice("Fixed in the drive, dropped in from above, or pushed up from below.", Mounting)
    ]
    cut: Annotated[bool, YesNo(about="Whether it is cut to length.")]
    cut_min_mm: Annotated[Decimal | None, mm("The shortest length that it may be cut to, mm.")]
    cut_max_mm: Annotated[Decimal | None, mm("The longest, mm.")]
    standing_height_mm: Annotated[
        Decimal,
        mm("How far it stands above the drive (captive), or its own length when offered up, mm.", "0"),
    ]


class ShaftWindowRow(NamedTuple):
    sku: Annotated[str, Sku(about="The shaft.", refers="shafts")]
    spindle: Annotated[str, Code(about="Into which spindle,", refers="spindles")]
    coupling: Annotated[str, Code(about="and onto which coupling it goes.", refers="couplings")]
    from_mm: Annotated[
        Decimal,
        mm(
            "The shortest L at which it engages as it should, mm; of a cut shaft: L less its length.", "-1000"
        ),
    ]
    to_mm: Annotated[Decimal, mm("The longest L, likewise, inclusive, mm.", "-1000")]


class DriveRow(NamedTuple):
    sku: Annotated[str, Sku(about="The part.", refers="parts")]
    drive_type: Annotated[
        DriveType, choice("Motor below the gearbox on the shaft's axis, or sideways.", DriveType)
    ]
    power: Annotated[Power, choice("What drives it.", Power)]
    hand: Annotated[DriveHand, choice("Side of the motor, looking down along the shaft.", DriveHand)]
    supplied_hand: Annotated[Hand, choice("The hand in which it is supplied.", Hand)]
    flange: Annotated[str, Code(about="Its bolted face.", refers="flanges")]
    coupling: Annotated[str, Code(about="How it takes the shaft.", refers="couplings")]
    motor_volts: Annotated[int | None, Whole(about="Motor voltage, V.", choices=MOTOR_VOLTS)]
    motor_leads: Annotated[int | None, Whole(about="Leads of the motor.", choices=(2, 3))]
    torque_nm: Annotated[Decimal, Number(about="Torque at the shaft at its peak, N·m.", least=LEAST)]
    no_load_current_a: Annotated[Decimal | None, amps("Current without load, A.", "0")]
    peak_current_a: Annotated[Decimal | None, amps("Current at its peak, A.")]
    efficiency_percent: Annotated[
        Decimal | None,
        Number(about="Efficiency, %.", places=1, least=Decimal("0.1"), most=Decimal(100)),
    ]
    reversible: Annotated[bool, YesNo(about="Whether it turns both ways, as two gears ask.")]
    override: Annotated[bool, YesNo(about="Whether a handle pushed fully home uncouples the motor.")]
    max_press_seconds: Annotated[Decimal | None, seconds("The longest press, s.")]
    duty_class: Annotated[str | None, Text(about="The duty class as its maker states it.", longest=30)]
    clearance_mm: Annotated[Decimal, mm("Free depth that it asks for below itself, mm.", "0")]
    largest_breaker_a: Annotated[Decimal | None, amps("The largest breaker that may feed it, A.")]


class DriveSolidRow(NamedTuple):
    sku: Annotated[str, Sku(about="The drive.", refers="drives")]
    solid: Annotated[str, Code(about="The solid's code within the drive.")]
    shape: Annotated[Shape, choice("A prism over a rectangle or over a circle.", Shape)]
    x_from_mm: Annotated[Decimal | None, mm("Box: from here along the motor's axis, mm,", "-5000", "5000")]
    x_to_mm: Annotated[Decimal | None, mm("to here, mm;", "-5000", "5000")]
    y_from_mm: Annotated[Decimal | None, mm("from here to the right, looking down, mm,", "-5000", "5000")]
    y_to_mm: Annotated[Decimal | None, mm("to here, mm.", "-5000", "5000")]
    x_mm: Annotated[Decimal | None, mm("Cylinder: its axis along the motor's axis, mm,", "-5000", "5000")]
    y_mm: Annotated[Decimal | None, mm("and to the right, mm.", "-5000", "5000")]
    diameter_mm: Annotated[Decimal | None, mm("Cylinder: its diameter, mm.")]
    depth_from_mm: Annotated[Decimal, mm("From this depth below the flange face, mm,", "0")]
    depth_to_mm: Annotated[Decimal, mm("down to this one, mm.")]


class DrivePieceRow(NamedTuple):
    sku: Annotated[str, Sku(about="The drive.", refers="drives")]
    piece: Annotated[str, Code(about="The piece's code within the drive.")]
    length_mm: Annotated[Decimal, mm("Length, mm.")]
    width_mm: Annotated[Decimal, mm("Width, mm.")]
    height_mm: Annotated[Decimal, mm("Height, without a captive shaft, mm.")]
    carries_shaft: Annotated[bool, YesNo(about="Whether a captive shaft stands on it, along its height.")]


class DriveClockingRow(NamedTuple):
    sku: Annotated[str, Sku(about="The drive.", refers="drives")]
    from_deg: Annotated[Decimal, degrees("From this angle off the datum, degrees,")]
    to_deg: Annotated[
        Decimal,
        degrees(
            "on to this one, inclusive; equal: one position; 0 to 360: any; it may pass through 0.",
            "0",
            "360",
        ),
    ]


class DriveRotationRow(NamedTuple):
    sku: Annotated[str, Sku(about="The drive.", refers="drives")]
    rotation_deg: Annotated[Decimal, degrees("An angle to which the motor may be turned, degrees.")]


class HandingKitRow(NamedTuple):
    sku: Annotated[str, Sku(about="The part.", refers="parts")]
    reverses_rotation: Annotated[bool, YesNo(about="Whether the drive then turns the other way.")]


class HandingKitDriveRow(NamedTuple):
    sku: Annotated[str, Sku(about="The handing kit.", refers="handing_kits")]
    drive: Annotated[str, Sku(about="A convertible drive that it changes over.", refers="drives")]


class SpacerRow(NamedTuple):
    sku: Annotated[str, Sku(about="The part.", refers="parts")]
    flange: Annotated[str, Code(about="The flange that it fits.", refers="flanges")]
    thickness_mm: Annotated[Decimal, mm("Thickness, mm.", most="1000")]
    max_count: Annotated[int, Whole(about="How many of it may lie in one stack.", least=1, most=20)]


class WedgeRow(NamedTuple):
    sku: Annotated[str, Sku(about="The part.", refers="parts")]
    flange: Annotated[str, Code(about="The flange that it fits.", refers="flanges")]
    angle_deg: Annotated[Decimal, degrees("The angle that it makes up, degrees.", "0.1", "45")]
    axis_thickness_mm: Annotated[Decimal, mm("Thickness on the shaft's axis, mm.", most="1000")]


ADAPTERS = Resource(
    "adapters",
    "Base adapters",
    "What lets a manual winch take a drive.",
    AdapterRow,
    ("sku",),
    part_kind=PartKind.ADAPTER,
)

ADAPTER_BASES = Resource(
    "adapter_bases",
    "Adapters' base patterns",
    "The base patterns that an adapter takes.",
    AdapterBaseRow,
    ("sku", "base_pattern"),
)

SHAFTS = Resource(
    "shafts",
    "Drive shafts",
    "The shafts through the deck.",
    ShaftRow,
    ("sku",),
    (*only_if(is_true("cut"), "cut_min_mm", "cut_max_mm"), Ordered("cut_min_mm", "cut_max_mm")),
    part_kind=PartKind.SHAFT,
)

SHAFT_WINDOWS = Resource(
    "shaft_windows",
    "Shaft windows",
    "Between which lengths L a shaft engages, for each spindle and coupling that it fits.",
    ShaftWindowRow,
    ("sku", "spindle", "coupling"),
    (Ordered("from_mm", "to_mm"),),
)

_ELECTRIC = when("power", Power.ELECTRIC)

DRIVES = Resource(
    "drives",
    "Drive units",
    "Gearbox and motor. Hydraulic ones are stored, and answered as not checked.",
    DriveRow,
    ("sku",),
    (
        SuppliedHand(),
        *only_if(
            _ELECTRIC,
            "motor_volts",
            "motor_leads",
            "no_load_current_a",
            "peak_current_a",
            "efficiency_percent",
            "largest_breaker_a",
        ),
        NeededIf("max_press_seconds", _ELECTRIC),
        NeededIf("duty_class", _ELECTRIC),
        Ordered("no_load_current_a", "peak_current_a"),
    ),
    part_kind=PartKind.DRIVE,
    needs=("drive_solids", "drive_pieces", "drive_clockings", "drive_rotations"),
)

_BOX, _CYLINDER = when("shape", Shape.BOX), when("shape", Shape.CYLINDER)

DRIVE_SOLIDS = Resource(
    "drive_solids",
    "Drives' solids",
    "The body of a drive below its flange, as prisms in its own frame: origin on the shaft's axis at the "
    "flange face, x along the motor, y to the right looking down, depth downwards; given for the right hand.",
    DriveSolidRow,
    ("sku", "solid"),
    (
        *only_if(_BOX, "x_from_mm", "x_to_mm", "y_from_mm", "y_to_mm"),
        *only_if(_CYLINDER, "x_mm", "y_mm", "diameter_mm"),
        Ordered("x_from_mm", "x_to_mm", "<"),
        Ordered("y_from_mm", "y_to_mm", "<"),
        Ordered("depth_from_mm", "depth_to_mm", "<"),
    ),
)

DRIVE_PIECES = Resource(
    "drive_pieces",
    "Drives' pieces",
    "The separable pieces of a drive, as they go through an opening.",
    DrivePieceRow,
    ("sku", "piece"),
)

DRIVE_CLOCKINGS = Resource(
    "drive_clockings",
    "Drives' clockings",
    "The angles from the datum at which a drive may be bolted.",
    DriveClockingRow,
    ("sku", "from_deg", "to_deg"),
)

DRIVE_ROTATIONS = Resource(
    "drive_rotations",
    "Motors' rotations",
    "The angles to which the motor itself may be turned in its flange; it moves the terminals.",
    DriveRotationRow,
    ("sku", "rotation_deg"),
)

HANDING_KITS = Resource(
    "handing_kits",
    "Handing kits",
    "What changes a convertible drive over to its other hand.",
    HandingKitRow,
    ("sku",),
    part_kind=PartKind.HANDING_KIT,
)

HANDING_KIT_DRIVES = Resource(
    "handing_kit_drives",
    "Handing kits' drives",
    "The convertible drives that a handing kit changes over.",
    HandingKitDriveRow,
    ("sku", "drive"),
)

SPACERS = Resource(
    "spacers",
    "Spacers",
    "What shims a drive down so that its shaft engages.",
    SpacerRow,
    ("sku",),
    part_kind=PartKind.SPACER,
)

WEDGES = Resource(
    "wedges",
    "Wedges",
    "What makes up an underside that is not square to the shaft. Stored, not yet chosen.",
    WedgeRow,
    ("sku",),
    part_kind=PartKind.WEDGE,
)
