"""What the resolver knows of a catalog: plain frozen values, no behaviour beyond look-ups.

Units: lengths in integer micrometres (``_um``), angles in integer tenths of a degree (``_ddeg``, 0 ..
3599), voltages in millivolts, currents in milliamperes, torques in millinewton metres, forces in newtons,
ratios and efficiencies in thousandths (``_milli``), money in minor units of its currency, durations in
milliseconds or days. Codes and SKUs are the catalog's natural keys; mappings are keyed by them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum


class Hand(StrEnum):
    """Side of the motor, looking down along the shaft with the motor pointing away from you."""

    NONE = "none"
    LEFT = "left"
    RIGHT = "right"


class DriveHand(StrEnum):
    """How a drive unit is supplied: convertible means that a handing kit changes it over."""

    NONE = "none"
    LEFT = "left"
    RIGHT = "right"
    CONVERTIBLE = "convertible"


class DriveType(StrEnum):
    IN_LINE = "in-line"
    RIGHT_ANGLE = "right-angle"


class Power(StrEnum):
    ELECTRIC = "electric"
    HYDRAULIC = "hydraulic"


class Mounting(StrEnum):
    """Where a drive shaft comes from: fixed in the drive, dropped in from above, or pushed up from below."""

    CAPTIVE = "captive"
    FROM_ABOVE = "from-above"
    FROM_BELOW = "from-below"


class Plug(StrEnum):
    """What closes the lower end of a manual winch's spindle."""

    NONE = "none"
    THREADED = "threaded"
    PRESSED = "pressed"
    BONDED = "bonded"


class SerialRule(StrEnum):
    """How serial numbers of a run compare: ``12345``; ``AB-1234`` by letters, then number; not at all."""

    NUMBER = "number"
    PREFIX_NUMBER = "prefix-number"
    NONE = "none"


class Status(StrEnum):
    CURRENT = "current"
    LAST_TIME_BUY = "last-time-buy"
    WITHDRAWN = "withdrawn"


class PartKind(StrEnum):
    ADAPTER = "adapter"
    SHAFT = "shaft"
    DRIVE = "drive"
    HANDING_KIT = "handing-kit"
    SPACER = "spacer"
    WEDGE = "wedge"
    CONTROLLER = "controller"
    BREAKER = "breaker"
    SWITCH = "switch"
    WINCH = "winch"


class ExceptionKind(StrEnum):
    ALLOW = "allow"
    FORBID = "forbid"
    REQUIRE = "require"


class Lifts(StrEnum):
    """What an ``allow`` exception lifts. Never a length, space, duty or feed figure."""

    NOTHING = ""
    ERA = "era"
    MATING = "mating"


@dataclass(frozen=True, slots=True)
class Price:
    currency: str
    valid_from: date
    amount_minor: int


@dataclass(frozen=True, slots=True)
class Part:
    """What every article has, whatever it does. ``prices`` are ordered by (currency, valid_from)."""

    sku: str
    kind: PartKind
    name: str
    maker: str
    status: Status = Status.CURRENT
    withdrawn_on: date | None = None
    valid_from: date | None = None
    valid_to: date | None = None
    lead_time_days: int | None = None
    mass_g: int | None = None
    prices: tuple[Price, ...] = ()


@dataclass(frozen=True, slots=True)
class BasePattern:
    code: str
    bolt_circle_um: int
    bolts: int
    centre_hole_um: int


@dataclass(frozen=True, slots=True)
class Flange:
    """The bolted face of drive units. ``max_spacers`` bounds the pieces in a stack, ``max_stack_um`` its
    sum.
    """

    code: str
    max_spacers: int
    max_stack_um: int


@dataclass(frozen=True, slots=True)
class WinchModel:
    """One size of a winch family. ``gear_ratios_milli`` is handle turns per drum turn, gear 1 first."""

    code: str
    name: str
    family: str
    maker: str
    size: int
    gear_ratios_milli: tuple[int, ...]
    drum_diameter_um: int
    base_diameter_um: int
    height_um: int
    working_load_n: int
    spindle_torque_max_mnm: int
    self_tailing: bool
    rope_min_um: int | None
    rope_max_um: int | None
    pad_diameter_um: int


@dataclass(frozen=True, slots=True)
class Family:
    code: str
    name: str
    maker: str
    convertible: bool
    replace_only_reason: str = ""


@dataclass(frozen=True, slots=True)
class Run:
    """A production run: a stretch of years and serials in which a model was built one way. Ends are
    inclusive.
    """

    code: str
    model: str
    year_from: int
    year_to: int | None
    serial_rule: SerialRule
    serial_from: str
    serial_to: str
    base_pattern: str
    spindle: str
    plug: Plug = Plug.NONE
    plug_removable: bool = True
    plug_note: str = ""


@dataclass(frozen=True, slots=True)
class Adapter:
    """A base adapter. ``thickness_um`` is signed: negative lets the winch sink towards the deck."""

    sku: str
    bases: frozenset[str]
    flange: str
    thickness_um: int
    footprint_um: int


@dataclass(frozen=True, slots=True)
class ShaftWindow:
    """Between which lengths a shaft engages on one spindle and one coupling.

    For a fixed shaft, ``from_um`` and ``to_um`` are L itself; for a shaft cut to length they are offsets
    from the length it is cut to (L must lie in cut + from .. cut + to).
    """

    spindle: str
    coupling: str
    from_um: int
    to_um: int


@dataclass(frozen=True, slots=True)
class Shaft:
    sku: str
    mounting: Mounting
    cut: bool
    cut_min_um: int
    cut_max_um: int
    standing_height_um: int
    windows: tuple[ShaftWindow, ...]


@dataclass(frozen=True, slots=True)
class Box:
    """A prism over a rectangle in the drive's frame, for the right hand (left mirrors y)."""

    x_from_um: int
    x_to_um: int
    y_from_um: int
    y_to_um: int
    depth_from_um: int
    depth_to_um: int


@dataclass(frozen=True, slots=True)
class Cylinder:
    """A prism over a circle in the drive's frame, for the right hand (left mirrors y)."""

    x_um: int
    y_um: int
    diameter_um: int
    depth_from_um: int
    depth_to_um: int


Solid = Box | Cylinder


@dataclass(frozen=True, slots=True)
class Piece:
    """One separable piece of a drive, as it goes through the opening. A captive shaft stands on the piece
    that ``carries_shaft``, in the direction of its height.
    """

    code: str
    length_um: int
    width_um: int
    height_um: int
    carries_shaft: bool = False


@dataclass(frozen=True, slots=True)
class Drive:
    """A drive unit: gearbox and motor. ``clockings_ddeg`` holds closed arcs (from, to), equal for one
    position.
    """

    sku: str
    drive_type: DriveType
    power: Power
    hand: DriveHand
    supplied_hand: Hand
    flange: str
    coupling: str
    motor_voltage_mv: int
    motor_leads: int
    torque_mnm: int
    no_load_current_ma: int
    peak_current_ma: int
    efficiency_milli: int
    reversible: bool
    override: bool
    max_press_ms: int
    duty_class: str
    clearance_um: int
    largest_breaker_ma: int
    solids: tuple[Solid, ...]
    pieces: tuple[Piece, ...]
    clockings_ddeg: tuple[tuple[int, int], ...]
    rotations_ddeg: tuple[int, ...]

    @property
    def height_um(self) -> int:
        """Height below the flange: the deepest point of its solids."""
        return max(solid.depth_to_um for solid in self.solids)


@dataclass(frozen=True, slots=True)
class HandingKit:
    sku: str
    drives: frozenset[str]
    reverses_rotation: bool


@dataclass(frozen=True, slots=True)
class Spacer:
    """``max_count`` bounds how many of this one may lie in a stack."""

    sku: str
    flange: str
    thickness_um: int
    max_count: int


@dataclass(frozen=True, slots=True)
class Wedge:
    sku: str
    flange: str
    angle_ddeg: int
    axis_thickness_um: int


@dataclass(frozen=True, slots=True)
class Controller:
    sku: str
    motor_voltages_mv: frozenset[int]
    control_voltages_mv: frozenset[int]
    motor_leads: int
    max_current_ma: int
    inputs: int
    plain_switches: bool


@dataclass(frozen=True, slots=True)
class TripRow:
    """At this percentage of its rating a breaker trips between ``earliest_ms`` and ``latest_ms``."""

    percent: int
    earliest_ms: int
    latest_ms: int


@dataclass(frozen=True, slots=True)
class Breaker:
    sku: str
    rating_ma: int
    max_voltage_mv: int
    interrupting_capacity_a: int
    trips: tuple[TripRow, ...]


@dataclass(frozen=True, slots=True)
class Switch:
    sku: str
    buttons: int
    max_voltage_mv: int


@dataclass(frozen=True, slots=True)
class PoweredWinch:
    """A powered winch that replaces a manual one whole."""

    sku: str
    size: int
    last_gear_ratio_milli: int
    drum_diameter_um: int
    base_diameter_um: int
    working_load_n: int
    self_tailing: bool
    rope_min_um: int | None
    rope_max_um: int | None
    motor_voltage_mv: int


@dataclass(frozen=True, slots=True)
class Supersession:
    """``new`` takes the place of ``old``; two-way: either takes the other's. It never makes a part mate."""

    old: str
    new: str
    two_way: bool


@dataclass(frozen=True, slots=True)
class CatalogException:
    """A keeper's ruling for a family, model or run (exactly one is set) and a stretch of serials.

    ``forbid``: a kit with ``sku`` (and ``with_sku``, where given) is not to be fitted. ``require``: a kit
    with ``sku`` must contain ``with_sku`` or what may stand for it. ``allow``: lifts one of ``Lifts`` for
    ``sku``.
    """

    code: str
    kind: ExceptionKind
    sku: str
    with_sku: str = ""
    lifts: Lifts = Lifts.NOTHING
    family: str = ""
    model: str = ""
    run: str = ""
    serial_from: str = ""
    serial_to: str = ""
    reason: str = ""
    document: str = ""


@dataclass(frozen=True, slots=True)
class Catalog:
    """One revision's catalog. Every mapping is keyed by code or SKU; ``parts`` holds every article."""

    families: Mapping[str, Family] = field(default_factory=dict)
    models: Mapping[str, WinchModel] = field(default_factory=dict)
    runs: Mapping[str, Run] = field(default_factory=dict)
    base_patterns: Mapping[str, BasePattern] = field(default_factory=dict)
    flanges: Mapping[str, Flange] = field(default_factory=dict)
    parts: Mapping[str, Part] = field(default_factory=dict)
    adapters: Mapping[str, Adapter] = field(default_factory=dict)
    shafts: Mapping[str, Shaft] = field(default_factory=dict)
    drives: Mapping[str, Drive] = field(default_factory=dict)
    handing_kits: Mapping[str, HandingKit] = field(default_factory=dict)
    spacers: Mapping[str, Spacer] = field(default_factory=dict)
    wedges: Mapping[str, Wedge] = field(default_factory=dict)
    controllers: Mapping[str, Controller] = field(default_factory=dict)
    breakers: Mapping[str, Breaker] = field(default_factory=dict)
    switches: Mapping[str, Switch] = field(default_factory=dict)
    powered_winches: Mapping[str, PoweredWinch] = field(default_factory=dict)
    supersessions: tuple[Supersession, ...] = ()
    exceptions: tuple[CatalogException, ...] = ()
